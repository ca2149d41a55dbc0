# SPDX-License-Identifier: BSD-3-Clause
"""The dictionary of a diagnosis as a design: refusals, pairs on demand, a run with its page."""

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.diagnosis import dictionary
from twintrack.errors import InputError


def test_ideal_wiring_has_no_dictionary():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six", wiring={"kind": "ideal"})
    with pytest.raises(InputError, match="needs the wiring 'harness'"):
        tt.explain(bench, {"codes": []})


def test_pairs_of_faults_are_there_on_demand():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six").parameters
    study = dictionary.study_of(bench)
    two = ["'pedal signal 1' open", "'throttle signal 1' open"]
    plan = dictionary.plan_of(study, pairs=two, only=("wiring: open",))
    assert [s.labels["cause"] for s in plan.specs if s.labels["family"] == "two faults"] == [
        " and ".join(two)
    ]
    with pytest.raises(InputError, match="there is no cause"):
        dictionary.plan_of(study, pairs=["nobody"])
    with pytest.raises(InputError, match="did you mean 'wiring'"):
        dictionary.plan_of(study, only=["wirng"])


STUDY = """design = "diagnosis"
pedals = ["half-slope-low"]
bodies = ["opposed-six"]
[diagnosis]
only = ["supply"]
"""


def test_a_study_of_it_runs_and_has_a_page(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY)
    result = tt.Study.load(tmp_path / "study.toml").run(tmp_path / "out", progress=False)
    assert next(iter(result.table["cause"])) == "healthy"
    told = CliRunner().invoke(
        main, ["run", str(tmp_path / "study.toml"), "--out", str(tmp_path / "out"), "--quiet"]
    )
    assert told.exit_code == 0, told.output
    assert "Causes and their signs" in (tmp_path / "out" / "report.html").read_text()
    assert result.replay(1).differences == []
