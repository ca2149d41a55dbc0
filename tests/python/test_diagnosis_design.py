# SPDX-License-Identifier: BSD-3-Clause
"""The dictionary of a diagnosis as a design: refusals, pairs on demand, a run with its page."""

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.diagnosis import dictionary, explain
from twintrack.diagnosis.next_reading import caution_of
from twintrack.diagnosis.readings import Reading
from twintrack.errors import InputError
from twintrack.tolerances.apply import severe


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


def test_learns_that_are_tried_are_those_of_the_exact_solver():
    """Side by side or one by one, the same is refused for the same reason."""
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six").parameters
    plan = dictionary.plan_of(dictionary.study_of(bench), only=("track", "mechanics", "wiring: unplugged"))
    some = [(spec, plan.case(k)) for k, spec in enumerate(plan.specs)][::4]
    found = [row["refusal"] for row in plan.design.measure_together(some)]
    alone = [tt.learn(case.parameters, faults=case.faults_of_run) for _, case in some]
    assert found == ["accepted" if one.accepted else one.refusal for one in alone]
    assert len(set(found)) == 3  # accepted, a reading out of band, a span too small
    late = [(plan.specs[0], plan.case(5 * len(plan.specs)))]
    assert plan.design.measure_together(late) == [{"refusal": ""}]


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


def test_idle_speed_tells_with_an_engine(tmp_path):
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six", engine="small-four")
    study = dictionary.study_of(bench.parameters)
    plan = dictionary.plan_of(study, only=["body closed stop: shift", "manifold: vacuum leak"])
    model = explain.Diagnosis(dictionary.dictionary_of(plan, draws=4, cache=tmp_path))
    healthy = float(model.known.column("idle_rpm")[0].mean())
    answer = model.explain({"idle": 1450})
    assert answer.best.family == "mechanics"
    assert "healthy" in model.explain({"idle": healthy}).best.causes
    assert "engine running" in caution_of(Reading("idle_rpm"))


def test_a_severe_fault_is_further_from_none():
    gain = tt.Fault(where="pedal.track1", what="gain", amount=0.85)
    assert severe(gain, 1.0).amount == pytest.approx(0.70)
    assert severe(gain, 0.0).amount == pytest.approx(0.85)
    leak = tt.Fault(where="pedal signal 1", what="leak", amount=1e4)
    assert severe(leak, -1.0).amount == pytest.approx(2500.0)
    broken = tt.Fault(where="body.return_spring", what="scale", amount=0.0)
    assert severe(broken, -0.5).amount == 0.0
    assert severe(tt.Fault(where="pedal signal 1", what="open"), 1.0).amount == 0.0
    assert severe(tt.Fault(where="pedal.track1", what="offset", amount=0.9), 1.0).amount == 1.0
