# SPDX-License-Identifier: BSD-3-Clause
"""What a campaign tells: the page, the commands, the results in a program."""

import re
import shutil

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.campaigns import statistics
from twintrack.campaigns.report import write_report
from twintrack.command.cli import main
from twintrack.files import traces


@pytest.fixture(scope="module")
def many(campaign_path, tmp_path_factory):
    """Enough cases to say which parameters matter."""
    return tt.campaign(campaign_path, cases=240, out=tmp_path_factory.mktemp("many"), progress=False)


def test_results_in_a_program(many):
    table = many.to_pandas()
    assert many.shares() == statistics.shares(table)
    times = table["detected_after_s"].dropna()
    assert many.detection() == statistics.detection(times.to_numpy(), 240)
    assert list(many.detection_times()) == list(times)
    worst = many.worst(5)
    assert list(worst.index) == list(statistics.worst(table, 5).index)
    assert list(worst["unasked_opening"]) == list(table.loc[worst.index, "unasked_opening"])
    assert set(many.worst_of_each().values()) == set(many.shares())
    assert many.plot().axes
    assert len(many.thinned(50)) == 50
    assert many.thinned(50).index.is_monotonic_increasing


def test_what_drifts_is_what_matters(many):
    """The amount of the drift decides how far off the blade is, the battery does not (regression only)."""
    indices = many.sensitivity(["error_half", "learn_accepted"])["error_half"]
    assert indices.index[0] == "faults[1].amount"
    assert indices.loc["faults[1].amount", "PAWN"] > 2 * indices.loc["chance", "PAWN"]
    assert indices.loc["supply", "PAWN"] < 1.2 * indices.loc["chance", "PAWN"]


def test_page(many, tmp_path):
    write_report(many, tmp_path / "report.html", wanted=300)
    text = (tmp_path / "report.html").read_text()
    assert [path.name for path in tmp_path.iterdir()] == ["report.html"]
    assert "240 of 300 cases are" in text
    for words in (
        "How often",
        "How soon a fault is seen",
        "Which parameters matter",
        "The worst cases first",
    ):
        assert f"<h2>{words}</h2>" in text
    for verdict, share in many.shares().items():
        assert verdict in text
        assert f"{100 * share.estimate:.3g} %" in text
    assert "opposed + opposed-six" in text  # two pairs: each has its own shares
    assert "normal, mean × 1, standard deviation 0.005; after the learn" in text
    assert "Simulation is no proof of safety" in text
    assert "differs from what is stored" not in text
    assert not re.search(r'(src|href)="(?!data:|#)', text)  # self-contained


def test_page_of_few_cases_without_faults(tmp_path, campaign_text):
    """Nothing to detect, nothing that scatters, nothing to say about parameters."""
    head = campaign_text.split("[[faults]]")[0].replace('rule_sets = ["fault-tolerant time"]\n', "")
    (tmp_path / "study.toml").write_text(head)
    results = tt.campaign(tmp_path / "study.toml", cases=2, out=tmp_path / "out", progress=False)
    assert set(results.shares()) == {"right"}
    assert results.detection() is None
    write_report(results, tmp_path / "report.html")
    text = (tmp_path / "report.html").read_text()
    assert "Only the noise of the sensors." in text
    assert "How soon" not in text


def test_commands(campaign_path, tmp_path):
    out = tmp_path / "out"
    command = ["campaign", str(campaign_path), "--engine", "exact", "--out", str(out), "--quiet", "--cases"]
    first = CliRunner().invoke(main, [*command, "12"])
    assert first.exit_code == 0, first.output
    assert re.search(r"verdict +cases +probability +95 % interval", first.output)
    assert (out / "report.html").exists()
    shown = CliRunner().invoke(main, ["show", str(out), "7"])
    assert shown.exit_code == 0, shown.output
    assert "the same, to the bit" in shown.output
    assert re.search(r"faults\[1\]\.from +\d\.\d+ s", shown.output)
    assert re.search(r"pedal\.tracks\[2\]\.ratio +× (1\.0|0\.9)", shown.output)
    trace = traces.read_parquet(out / "replays" / "case-000000007.parquet")
    plan = tt.campaign_results(out).plan
    case = tt.run_case(plan.case(7), learned=plan.learned(7), trace=True)
    assert np.array_equal(trace["blade.opening"], case.record["blade.opening"])
    assert (out / "replays" / "case-000000007.png").stat().st_size > 10_000
    assert len(tt.campaign_results(out)) == 12  # replays are no results


def test_a_replay_that_differs_fails(campaign_path, whole_campaign, tmp_path):
    """One stored value is changed by hand."""
    import pyarrow.parquet as pq

    shutil.copytree(whole_campaign.folder, tmp_path / "copy")
    path = min((tmp_path / "copy" / "cases").rglob("*.parquet"))
    table = pq.read_table(path)
    changed = pd.Series(table["unasked_opening"].to_numpy() + 1e-12)
    place = table.schema.get_field_index("unasked_opening")
    pq.write_table(table.set_column(place, "unasked_opening", [changed.to_numpy()]), path)
    shown = CliRunner().invoke(main, ["show", str(tmp_path / "copy"), "3"])
    assert shown.exit_code == 1
    assert "the replay differs from what is stored in: unasked_opening" in shown.output


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["show", "{out}", "99"], "there is no case 99; 40 are finished"),
        (["show", "{out}/cases", "0"], "no results of a campaign here"),
        (["campaign", "missing.toml", "--cases", "3", "--out", "x"], "missing.toml: cannot be read"),
    ],
)
def test_mistakes_end_with_one_line(whole_campaign, arguments, message):
    told = CliRunner().invoke(main, [word.format(out=whole_campaign.folder) for word in arguments])
    assert told.exit_code == 2
    assert message in told.output
    assert told.output.count("\n") == 1


def test_a_plain_run_says_that_nothing_scatters(campaign_path, tmp_path):
    told = CliRunner().invoke(main, ["run", str(campaign_path), "--out", str(tmp_path / "out"), "--quiet"])
    assert told.exit_code == 0, told.output
    assert "here nothing scatters" in told.output


def test_check_tells_of_the_campaign(campaign_path):
    told = CliRunner().invoke(main, ["check", str(campaign_path)])
    assert "as a campaign: 5 parameters scatter" in told.output


@pytest.mark.parametrize("wrong", [{"cases": 0}, {"cases": 1, "jobs": 0}, {"cases": 1, "chunk": 0}])
def test_numbers_below_one_are_refused(campaign_path, tmp_path, wrong):
    with pytest.raises(tt.InputError, match="must be 1 or more"):
        tt.campaign(campaign_path, out=tmp_path, **wrong)
