# SPDX-License-Identifier: BSD-3-Clause
"""A campaign in lanes: the verdicts of the exact engine, and which cases run where."""

import pandas as pd
import pytest
from campaign_support import same

import twintrack as tt
from twintrack.campaigns.drive import drive
from twintrack.campaigns.plan import load
from twintrack.campaigns.results import Results
from twintrack.errors import InputError

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
    return tt.campaign(ideal_path, cases=64, out=ideal_path.parent / "lanes", jobs=2, progress=False)


def test_verdicts_are_those_of_the_exact_engine(in_lanes, ideal_path):
    exact = tt.campaign(
        ideal_path, cases=64, out=ideal_path.parent / "exact", engine="exact", progress=False
    ).to_pandas()
    lanes = in_lanes.to_pandas()
    assert set(lanes["engine"]) == {"lanes"}
    assert set(exact["engine"]) == {"exact"}
    rules = [name for name in lanes if name.startswith("rule: ")]
    verdicts = ["answer", "codes", "effect", "learn_accepted", "rules_failed", "status", *rules]
    pd.testing.assert_frame_equal(lanes[verdicts], exact[verdicts])
    assert lanes["effect"].nunique() > 1
    assert list(lanes["supply"]) == list(exact["supply"])


def test_learns_of_scattered_cases_are_made_in_lanes(in_lanes, monkeypatch):
    """Their own learn each, of another friction and supply: never one by one in the exact engine."""
    plan, numbers = in_lanes.plan, range(8)
    draws = plan.draws(0, 8)
    asked = []
    monkeypatch.setattr(tt._core, "run_learn", lambda case: asked.append(case))
    found = plan.learns(numbers, draws)
    assert not asked
    assert all(learned.accepted for learned in found)
    monkeypatch.undo()
    readings = [learned.range.throttle[0].start for learned in found]
    assert len(set(readings)) > 1
    for number, draw, learned in zip(numbers, draws, found, strict=True):
        alone = plan.learned(number, draw)
        assert alone.range == learned.range, "the bits do not depend on the learns beside it"


def test_a_case_that_no_solver_takes_is_told_by_its_learn(in_lanes):
    plan = in_lanes.plan
    good, bad = plan.draws(0, 2)
    found = plan.learns([0, 1], [good, bad | {"supply": 1e9}])
    assert found[0].accepted
    assert "supply" in found[1]
    with pytest.raises(tt.InvalidParameter, match="supply"):
        plan.learned(1, bad | {"supply": 1e9})


def test_a_case_does_not_depend_on_its_neighbours(in_lanes, ideal_path, tmp_path):
    """Other pieces, one thread: other cases side by side, and the same bits."""
    tt.campaign(ideal_path, cases=64, out=tmp_path, jobs=1, chunk=7, progress=False)
    same(Results(tmp_path), in_lanes)


def test_a_replay_in_the_exact_engine_gives_the_same_verdicts(in_lanes):
    """The input has the same bits; blade angles may differ by what the fixed steps cost."""
    replay = in_lanes.replay(40)
    assert replay.row["engine"] == "lanes"
    assert replay.differences == []
    assert replay.result.unasked_opening == pytest.approx(replay.row["unasked_opening"], abs=2e-3)


def test_what_cannot_run_in_lanes_runs_in_the_exact_engine(campaign_text, tmp_path):
    kind = "body.mechanics.friction.kind"
    (tmp_path / "study.toml").write_text(
        campaign_text.replace("[bench]", f'"{kind}" = {{ values = ["bristle", "simple"] }}\n[bench]')
    )
    table = tt.campaign(tmp_path / "study.toml", cases=12, out=tmp_path / "out", progress=False).to_pandas()
    assert set(table[kind]) == {"bristle", "simple"}
    assert list(table["engine"]) == ["lanes" if law == "bristle" else "exact" for law in table[kind]]


def test_a_harness_with_faults_runs_in_lanes(campaign_text, tmp_path):
    """The same verdicts as in the exact engine."""
    wrong = """[[faults]]
where = "throttle signal 1"
what = "series"
amount = "20 kohm"
from = "2 s"
"""
    path = tmp_path / "study.toml"
    path.write_text(campaign_text.replace("[tolerances]", wrong + "[tolerances]"))
    found = {
        engine: tt.campaign(path, cases=16, out=tmp_path / engine, engine=engine, progress=False).to_pandas()
        for engine in ("lanes", "exact")
    }
    assert set(found["lanes"]["engine"]) == {"lanes"}
    verdicts = ["answer", "codes", "effect", "learn_accepted", "rules_failed", "status"]
    pd.testing.assert_frame_equal(found["lanes"][verdicts], found["exact"][verdicts])


def test_lanes_have_one_control_period(campaign_text, tmp_path):
    """Cases with another one than the study's run in the exact engine."""
    line = 'control_period = { values = ["1 ms", "500 us"] }\n'
    (tmp_path / "study.toml").write_text(campaign_text.replace("[bench]", line + "[bench]") + IDEAL)
    table = tt.campaign(tmp_path / "study.toml", cases=8, out=tmp_path / "out", progress=False).to_pandas()
    assert set(table["control_period"]) == {0.001, 0.0005}
    assert list(table["engine"]) == ["lanes" if p == 0.001 else "exact" for p in table["control_period"]]


def test_learns_that_go_wrong(campaign_text, tmp_path):
    """What they stored is driven in lanes; what nobody mended, in the exact engine. Rows are the core's."""
    learn = 'learn = ["pressed_once", { mishap = "noisy_track", where = "throttle.track1", stays = true }]'
    path = tmp_path / "study.toml"
    path.write_text(campaign_text.replace('learn = ["fresh"]', learn) + IDEAL)
    results = tt.campaign(path, cases=8, out=tmp_path / "out", engine="lanes", progress=False)
    table = results.to_pandas()
    assert set(table["learn"]) == {"faulty"}
    assert list(table["engine"]) == ["lanes", "lanes", "exact", "exact"] * 2
    assert table["mistake"].nunique() == 2
    for number in (0, 3):
        result = tt.run_case(results.plan.case(number), learned=results.plan.learned(number))
        assert table.loc[number, "answer"] == result.answer
        assert table.loc[number, "learn_accepted"] == result.learn_accepted
    assert results.replay(2).differences == []


def test_another_engine_is_another_campaign(in_lanes, ideal_path):
    with pytest.raises(InputError, match=r"before it was changed \(engine\)"):
        drive(load(ideal_path, "exact"), in_lanes.folder, 70, progress=False)
    with pytest.raises(InputError, match="no engine 'lane'; did you mean 'lanes'"):
        load(ideal_path, "lane")
