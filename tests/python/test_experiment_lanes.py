# SPDX-License-Identifier: BSD-3-Clause
"""An experiment in lanes: the verdicts of the exact solver, and which cases run where."""

import pandas as pd
import pytest
from experiment_support import same

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments.drive import drive
from twintrack.experiments.learns import Learns
from twintrack.experiments.plan import load
from twintrack.experiments.result import Result


def run(path, cases, out, solver="lanes"):
    return tt.Study.load(path, solver=solver).run(out, cases=cases, jobs=2, progress=False)


WORDS = ["response", "hazard", "codes", "grade", "reaction", "learn_accepted", "rules_failed", "status"]
IDEAL = '[bench.wiring]\nkind = "ideal"\n'


@pytest.fixture(scope="module")
def ideal_path(campaign_text, tmp_path_factory):
    """The small campaign with ideal wiring."""
    path = tmp_path_factory.mktemp("lanes") / "study.toml"
    path.write_text(campaign_text + IDEAL)
    return path


@pytest.fixture(scope="module")
def in_lanes(ideal_path):
    """Sixty-four cases."""
    return run(ideal_path, 64, ideal_path.parent / "lanes")


def test_verdicts_are_those_of_the_exact_engine(in_lanes, ideal_path):
    exact = run(ideal_path, 64, ideal_path.parent / "exact", "exact").to_pandas()
    lanes = in_lanes.to_pandas()
    assert set(lanes["solver"]) == {"lanes"}
    assert set(exact["solver"]) == {"exact"}
    rules = [name for name in lanes if name.startswith("rule: ")]
    verdicts = [
        "response",
        "hazard",
        "codes",
        "grade",
        "reaction",
        "learn_accepted",
        "rules_failed",
        "status",
        *rules,
    ]
    pd.testing.assert_frame_equal(lanes[verdicts], exact[verdicts])
    assert lanes["grade"].nunique() > 1
    assert list(lanes["supply"]) == list(exact["supply"])


def test_learns_of_scattered_cases_are_made_in_lanes(in_lanes, monkeypatch):
    """Their own learn each, of another friction and supply: never one by one in the exact solver."""
    plan, numbers = in_lanes.plan, range(8)
    draws = plan.draws(0, 8)
    asked = []
    monkeypatch.setattr(tt._core, "run_learn", lambda case: asked.append(case))
    found = Learns(plan).of(numbers, draws)
    assert not asked
    assert all(learned.accepted for learned in found)
    monkeypatch.undo()
    readings = [learned.range.throttle[0].start for learned in found]
    assert len(set(readings)) > 1
    for number, draw, learned in zip(numbers, draws, found, strict=True):
        (alone,) = Learns(plan).of([number], [draw])
        assert alone.range == learned.range, "the bits do not depend on the learns beside it"


def test_a_case_that_no_solver_takes_is_told_by_its_learn(in_lanes):
    plan = in_lanes.plan
    good, bad = plan.draws(0, 2)
    found = Learns(plan).of([0, 1], [good, bad | {"supply": 1e9}])
    assert found[0].accepted
    assert "supply" in found[1]


def test_a_case_does_not_depend_on_its_neighbours(in_lanes, ideal_path, tmp_path):
    """Other pieces, one thread: other cases side by side, and the same bits."""
    run(ideal_path, 64, tmp_path)
    same(Result(tmp_path), in_lanes)


def test_a_replay_in_the_exact_engine_gives_the_same_verdicts(in_lanes):
    """The input has the same bits; blade angles may differ by what the fixed steps cost."""
    replay = in_lanes.replay(40)
    assert replay.row["solver"] == "lanes"
    assert replay.differences == []
    assert replay.result.unasked_opening == pytest.approx(replay.row["unasked_opening"], abs=2e-3)


def test_what_cannot_run_in_lanes_runs_in_the_exact_engine(campaign_text, tmp_path):
    kind = "body.mechanics.friction.kind"
    (tmp_path / "study.toml").write_text(
        campaign_text.replace("[bench]", f'"{kind}" = {{ values = ["bristle", "simple"] }}\n[bench]')
    )
    table = run(tmp_path / "study.toml", 12, tmp_path / "out").to_pandas()
    assert set(table[kind]) == {"bristle", "simple"}
    assert list(table["solver"]) == ["lanes" if law == "bristle" else "exact" for law in table[kind]]


def test_a_harness_with_faults_runs_in_lanes(campaign_text, tmp_path):
    """The same verdicts as in the exact solver."""
    wrong = """[[faults]]
where = "throttle signal 1"
what = "series"
amount = "20 kohm"
from = "2 s"
"""
    path = tmp_path / "study.toml"
    path.write_text(campaign_text.replace("[tolerances]", wrong + "[tolerances]"))
    found = {solver: run(path, 16, tmp_path / solver, solver).to_pandas() for solver in ("lanes", "exact")}
    assert set(found["lanes"]["solver"]) == {"lanes"}
    verdicts = [
        "response",
        "hazard",
        "codes",
        "grade",
        "reaction",
        "learn_accepted",
        "rules_failed",
        "status",
    ]
    pd.testing.assert_frame_equal(found["lanes"][verdicts], found["exact"][verdicts])


def test_cases_of_two_control_periods_run_in_lanes(campaign_text, tmp_path):
    """Those of one period tick together."""
    line = 'control_period = { values = ["1 ms", "500 us"] }\n'
    (tmp_path / "study.toml").write_text(campaign_text.replace("[bench]", line + "[bench]") + IDEAL)
    result = run(tmp_path / "study.toml", 8, tmp_path / "out")
    table = result.to_pandas()
    assert set(table["control_period"]) == {0.001, 0.0005}
    assert set(table["solver"]) == {"lanes"}
    assert result.replay(1).differences == []


def test_learns_that_go_wrong(campaign_text, tmp_path):
    """What they stored is driven in lanes, and what nobody mended too. Rows are the core's."""
    learn = (
        'learn = ["pressed_once", { disturbance = "noisy_track", where = "throttle.track1", stays = true }]'
    )
    path = tmp_path / "study.toml"
    path.write_text(campaign_text.replace('learn = ["fresh"]', learn) + IDEAL)
    results = run(path, 8, tmp_path / "out")
    table = results.to_pandas()
    assert set(table["learn"]) == {"faulty"}
    assert set(table["solver"]) == {"lanes"}
    assert table["learn_disturbance"].nunique() == 2
    for number in (0, 3):
        result = tt.run_case(results.plan.case(number), learned=results.learned(number))
        assert table.loc[number, "response"] == result.response
        assert table.loc[number, "learn_accepted"] == result.learn_accepted
    assert results.replay(2).differences == []


def test_another_solver_is_another_experiment(in_lanes, ideal_path):
    with pytest.raises(InputError, match=r"before it was changed \(solver\)"):
        drive(load(ideal_path, "exact"), in_lanes.folder, 70, progress=False)
    with pytest.raises(InputError, match="no solver 'lane'; did you mean 'lanes'"):
        load(ideal_path, "lane")
