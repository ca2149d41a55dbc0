# SPDX-License-Identifier: BSD-3-Clause
"""What a sample gives: the page, the commands, the results in a program."""

import re

import numpy as np
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.experiments import report, statistics
from twintrack.files import traces
from twintrack.pages.severity import LOOKS


@pytest.fixture(scope="module")
def many(campaign_path, tmp_path_factory):
    """Enough cases to say which parameters matter."""
    return tt.Study.load(campaign_path).run(tmp_path_factory.mktemp("many"), cases=240, progress=False)


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


def test_no_probabilities_of_a_list(finished):
    with pytest.raises(InputError, match="a probability needs cases that are drawn"):
        finished.shares()


def test_a_list_too_long_for_its_own_tables_is_counted(finished, monkeypatch):
    """16 cases: 4 before any learn, 4 after one, 8 with a part swapped; 4 + 4 of them are by hand."""
    monkeypatch.setattr(report, "_WHOLE", 10)
    table = finished.to_pandas()
    head, rows = report.tally(finished)
    assert head == ["grade", "cases", "share of all"]
    assert {row[0]: int(row[1]) for row in rows} == table["grade"].value_counts().to_dict()
    assert sum(int(row[1]) for row in rows) == 16
    assert re.match(r"\d+ of 16 cases are a HAZARD", report.headline(finished))
    assert [section.title for section in report.sections(finished)[:2]] == ["Cases by grade", "Traces"]


def test_what_drifts_is_what_matters(many):
    """The amount of the drift decides how far off the blade is, the battery does not (regression only)."""
    indices = many.sensitivity(["error_half", "learn_accepted"])["error_half"]
    assert indices.index[0] == "faults[1].amount"
    assert indices.loc["faults[1].amount", "PAWN"] > 2 * indices.loc["chance", "PAWN"]
    assert indices.loc["supply", "PAWN"] < 1.2 * indices.loc["chance", "PAWN"]


def test_page(many):
    path = report.write(many, wanted=300)
    text = path.read_text()
    assert path == many.folder / "report.html"
    assert "240 of 300 cases are" in text
    for words in (
        "Probability of each grade",
        "Detection time",
        "Sensitivity to parameters",
        "Cases of highest severity",
        "Scattered parameters",
        "Written rules",
    ):
        assert f"<h2>{words}</h2>" in text
    for verdict, share in many.shares().items():
        assert LOOKS[verdict].word in text
        assert f"{100 * share.estimate:.3g} %" in text
    assert "opposed + opposed-six" in text  # two pairs: each has its own shares
    assert "normal, mean × 1, standard deviation 0.005; after the learn" in text
    assert "A simulation is no proof of safety" in text
    assert not re.search(r'(src|href)="(?!data:|#)', text)  # self-contained
    assert len(text) < 3_000_000


def test_page_of_few_cases_without_faults(tmp_path, campaign_text):
    """Nothing to detect, and too few cases to say something about parameters."""
    head = campaign_text.split("[[faults]]")[0].replace('rule_sets = ["fault-tolerant time"]\n', "")
    scatter = '[tolerances]\nsupply = { uniform = ["12 V", "14 V"] }\n'
    (tmp_path / "study.toml").write_text(head + scatter)
    result = tt.Study.load(tmp_path / "study.toml").run(tmp_path / "out", cases=2, progress=False)
    assert set(result.shares()) == {"not needed"}
    assert result.detection() is None
    text = report.write(result).read_text()
    assert "Too few cases, or nothing scatters." in text
    assert "<h2>Detection time" not in text


def test_commands(campaign_path, tmp_path):
    out = tmp_path / "out"
    command = ["run", str(campaign_path), "--solver", "exact", "--out", str(out), "--quiet", "--cases"]
    first = CliRunner().invoke(main, [*command, "12"])
    assert first.exit_code == 0, first.output
    assert re.search(r"grade +cases +probability +95 %", first.output)
    assert (out / "report.html").exists()
    shown = CliRunner().invoke(main, ["show", str(out), "7"])
    assert shown.exit_code == 0, shown.output
    assert "identical to the bit" in shown.output
    assert re.search(r"faults\[1\]\.from +\d\.\d+ s", shown.output)
    assert re.search(r"pedal\.tracks\[2\]\.ratio +× (1\.0|0\.9)", shown.output)
    trace = traces.read_parquet(out / "replays" / "case-000000007.parquet")
    result = tt.Result(out)
    case = tt.run_case(result.plan.case(7), learned=result.learned(7), trace=True)
    assert np.array_equal(trace["blade.opening"], case.record["blade.opening"])
    assert (out / "replays" / "case-000000007.png").stat().st_size > 10_000
    assert len(result) == 12  # replays are no results


def test_a_replay_that_differs_fails(whole_campaign, monkeypatch):
    row = whole_campaign.row(3)
    changed = {**row, "unasked_opening": row["unasked_opening"] + 1e-12}
    monkeypatch.setattr(tt.Result, "row", lambda self, case: changed)
    shown = CliRunner().invoke(main, ["show", str(whole_campaign.folder), "3"])
    assert shown.exit_code == 1
    assert "the replay differs from what is stored in: unasked_opening" in shown.output


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["show", "{out}", "99"], "there is no case 99; 40 are finished"),
        (["show", "{out}/cases", "0"], "no results here"),
        (["run", "missing.toml", "--cases", "3", "--out", "x"], "missing.toml: cannot be read"),
    ],
)
def test_errors_end_with_one_line(whole_campaign, arguments, message):
    told = CliRunner().invoke(main, [word.format(out=whole_campaign.folder) for word in arguments])
    assert told.exit_code == 2
    assert message in told.output
    assert told.output.count("\n") == 1


def test_check_says_what_scatters(campaign_path):
    told = CliRunner().invoke(main, ["check", str(campaign_path)])
    assert "5 parameters scatter" in told.output


@pytest.mark.parametrize("wrong", [{"cases": 0}, {"cases": 1, "jobs": 0}])
def test_numbers_below_one_are_refused(campaign_path, tmp_path, wrong):
    with pytest.raises(tt.InputError, match="must be 1 or more"):
        tt.Study.load(campaign_path).run(tmp_path, **wrong)


def test_a_study_made_in_a_program_and_shown_in_a_notebook():
    study = tt.Study.make(
        title="<made>",
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        learn=["fresh"],
        stroke={"time": ["0 s", "1.5 s", "2.5 s", "4 s"], "travel": [0.0, 0.0, 0.5, 0.5]},
    )
    assert len(study) == 1
    result = study.run(progress=False)
    assert result.to_arrow().num_rows == 1
    assert "&lt;made&gt;" in result._repr_html_()
    assert "all 1 pairs respond right" in result.headline
    with pytest.raises(tt.InputError, match="no pedal 'half-slope-lo'; did you mean"):
        tt.Study.make(pedals=["half-slope-lo"])
