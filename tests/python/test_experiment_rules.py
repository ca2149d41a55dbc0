# SPDX-License-Identifier: BSD-3-Clause
"""Verdicts of written rules in results, in the report and on the command line."""

import math
import re

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.experiments import report
from twintrack.rulebooks import margin as margins
from twintrack.rulebooks.text import text_of
from twintrack.units import RPM

OWN = """[[rules]]
name = "kept"
requires = "opening < 150 %"
source = "our own"
[[rules]]
name = "broken"
requires = "opening < 30 %"
limit = "30 %"
source = "our own"
clause = "2"
[[rules]]
name = "silent"
requires = "engine.speed > 0 rpm"
"""


@pytest.fixture(scope="module")
def judged(study_text, tmp_path_factory):
    """A study with a set of rules, and three of our own, one of which speaks of what no record has."""
    folder = tmp_path_factory.mktemp("rules")
    (folder / "study.toml").write_text('rule_sets = ["return to idle"]\n' + study_text + OWN)
    return tt.Study.load(folder / "study.toml").run(folder / "out", cases=8, progress=False)


def test_columns_say_finding_margin_and_when(judged):
    """A case is run again by the core, and its record judged."""
    plan, number = judged.plan, 4
    result = tt.run_case(plan.case(number), learned=judged.learned(number), trace=True)
    known = judged.learned(number).range
    rules = plan.study.rules
    found = tt.evaluate(result.record, rules, parameters=plan.case(number).parameters, learned=known)
    row = judged.table.loc[number]
    for verdict, rule in zip(found, rules, strict=True):
        assert row[f"rule: {rule.name}"] == verdict.finding
        if verdict.margin is not None and math.isfinite(verdict.margin):
            assert row[f"margin: {rule.name}"] * rule.scale == pytest.approx(verdict.margin, abs=0.01)
    assert row["rule: silent"] == "not applicable"
    assert row["rules_failed"].split("; ") == [v.rule for v in found if v.finding == "failed"]
    verdicts = judged.verdicts()
    assert len(verdicts) == 8 * len(rules)
    assert set(verdicts["finding"]) <= {"passed", "failed", "not applicable"}


def test_failed_rules_come_first_with_margin_and_place(judged):
    rows = report._rules(judged).rows
    assert rows[0][0] == "broken"
    table = judged.table
    failed = table["rule: broken"] == "failed"
    assert rows[0][2:4] == (failed.sum(), (table["rule: broken"] == "passed").sum())
    assert rows[0][4] == margins.margin_text(0.3 * table["margin: broken"].min(), "")
    assert rows[0][5] == table["margin: broken"].idxmin()
    assert next(row for row in rows if row[0] == "silent")[1].note == "not applicable"


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
    assert margins.margin_text(margin, unit) == text


def test_report_of_a_study_with_rules(judged):
    page_text = report.write(judged).read_text()
    assert "<h2>Written rules</h2>" in page_text
    for rule in judged.plan.study.rules:
        assert rule.name in page_text
        assert rule.clause in page_text


def test_report_of_a_study_without_rules(finished):
    assert not finished.plan.study.rules
    assert "Written rules" not in (finished.folder / "report.html").read_text()


def test_rules_on_the_command_line():
    result = CliRunner().invoke(main, ["list", "rules"])
    assert result.exit_code == 0
    for rule in tt.rules():
        assert rule.name in result.output
        assert rule.source in result.output
        assert rule.basis in result.output
    assert {rule.set for rule in tt.rules()} <= set(result.output.splitlines())


def test_rules_of_one_set():
    result = CliRunner().invoke(main, ["list", "rules", "return to idle"])
    assert result.exit_code == 0
    assert re.search(r"return to idle, light +49 CFR 571.124", result.output)
    assert "T.4.2" not in result.output
    result = CliRunner().invoke(main, ["list", "rules", "return to idel"])
    assert result.exit_code == 2
    assert "did you mean 'return to idle'?" in result.output


def test_margins_of_engine_speeds_are_in_rpm():
    band, limit = (rule for rule in tt.rules() if "engine.speed" in text_of(rule.requires))
    for rule in (band, limit):
        assert margins.of_rule(-50 * RPM / rule.scale, rule) == "−50 rpm"
