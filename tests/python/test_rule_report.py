# SPDX-License-Identifier: BSD-3-Clause
"""Verdicts of written rules in the report and on the command line."""

import math
import re

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.pages import page
from twintrack.pairing import run as runner
from twintrack.rulebooks import report as rule_report
from twintrack.rulebooks import rulebook
from twintrack.rulebooks.text import text_of
from twintrack.studies import reader
from twintrack.units import RPM


def record(opening):
    return tt.record_of(np.arange(len(opening)) * 1e-3, {"opening": np.asarray(opening)})


@pytest.fixture(scope="module")
def judged():
    """Three cases against three rules of our own, one of which speaks of what no record has."""
    rules = [
        tt.rule(name="kept", requires="opening < 90 %", set="ours", source="our own", clause="1"),
        tt.rule(name="broken", requires="opening < 50 %", limit="50 %", source="our own", clause="2"),
        tt.rule(name="silent", requires="engine.speed > 0 rpm", source="our own"),
    ]
    records = [record([0.1, 0.2]), record([0.1, 0.7]), record([0.6, 0.2])]
    return rules, rulebook.collect(rules, [tt.evaluate(r, rules) for r in records])


def test_failed_rules_come_first_with_margin_and_place(judged):
    rules, verdicts = judged
    content = rule_report.content(rules, verdicts, ["one", "two", "three"])
    assert [row["rule"].name for row in content["rules"]] == ["broken", "kept", "silent"]
    broken, kept, silent = content["rules"]
    assert (broken["failed"], broken["passed"], broken["unfit"]) == (2, 1, 0)
    assert broken["margin"] == "−20.0 %"
    assert broken["cases"] == [
        {"label": "two", "when": "0.001 s", "margin": "−20.0 %"},
        {"label": "three", "when": "0.000 s", "margin": "−10.0 %"},
    ]
    assert [finding for finding, _ in broken["strip"]] == ["passed", "failed", "failed"]
    assert (kept["finding"], kept["margin"]) == ("passed", "+20.0 %")
    assert silent["finding"] == "not applicable"
    assert "engine.speed" in silent["reasons"][0]


def test_failures_by_group_replace_the_strip(judged):
    rules, verdicts = judged
    content = rule_report.content(rules, verdicts, ["one", "two", "three"], ["a", "b", "b"])
    assert content["groups"] == ["a", "b"]
    assert content["rules"][0]["by_group"] == [0, 2]
    text = page.render("rulebooks/rules.html.j2", content)
    assert "failed, b" in text
    assert 'class="strip"' not in text


def test_a_case_that_was_not_run_has_no_verdict(judged):
    rules, verdicts = judged
    content = rule_report.content(rules, verdicts, ["one", "two", "three", "never"])
    assert content["rules"][0]["strip"][3] == ("", "never: not run")


@pytest.mark.parametrize(
    ("margin", "unit", "text"),
    [
        (-0.123, "", "−12.3 %"),
        (0.05, "V", "+0.05 V"),
        (-math.inf, "V", "yes or no"),
        (0.0, "", "0"),
        (math.nan, "V", ""),
    ],
)
def test_margins_as_text(margin, unit, text):
    assert rule_report.margin_text(margin, unit) == text


def test_report_of_a_study_with_rules(study_file, tmp_path):
    text = study_file.read_text()
    study_file.write_text('rule_sets = ["return to idle"]\n' + text)
    done = runner.run(reader.load(study_file), tmp_path / "out", progress=False)
    page_text = (tmp_path / "out/report.html").read_text()
    assert "<h2>Written rules</h2>" in page_text
    for rule in done.study.rules:
        assert rule.name in page_text
        assert rule.clause in page_text
    assert page_text.count('<span class="passed"') == (done.verdicts["finding"] == "passed").sum()


def test_report_of_a_study_without_rules(finished):
    done, out = finished
    assert not done.study.rules
    assert "Written rules" not in (out / "report.html").read_text()


def test_rules_on_the_command_line():
    result = CliRunner().invoke(main, ["rules"])
    assert result.exit_code == 0
    for rule in tt.rules():
        assert rule.name in result.output
        assert rule.source in result.output
        assert rule.basis in result.output
    assert {rule.set for rule in tt.rules()} <= set(result.output.splitlines())


def test_rules_of_one_set():
    result = CliRunner().invoke(main, ["rules", "return to idle"])
    assert result.exit_code == 0
    assert re.search(r"return to idle, light +49 CFR 571.124", result.output)
    assert "T.4.2" not in result.output
    result = CliRunner().invoke(main, ["rules", "return to idel"])
    assert result.exit_code == 2
    assert "did you mean 'return to idle'?" in result.output


def test_margins_of_engine_speeds_are_in_rpm():
    band, limit = (rule for rule in tt.rules() if "engine.speed" in text_of(rule.requires))
    for rule in (band, limit):
        verdicts = pd.DataFrame(
            {
                "rule": [rule.name],
                "finding": ["failed"],
                "margin": [-50 * RPM],
                "when_s": [1.0],
                "reason": [""],
            },
            index=[0],
        )
        [row] = rule_report.content([rule], verdicts, ["one"])["rules"]
        assert row["margin"] == row["cases"][0]["margin"] == "−50 rpm"
