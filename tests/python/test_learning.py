# SPDX-License-Identifier: BSD-3-Clause
"""The study of learns that go wrong: what an accepted one does, rules on what was learned, table and page."""

import math

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.designs.learning import consequences, disturbances, sections
from twintrack.experiments import report
from twintrack.rulebooks import rulebook
from twintrack.studies import reader
from twintrack.studies.disturbed_learns import LIMITS

STROKE = 'stroke = { time = ["0 s", "1.5 s", "2.5 s", "4 s"], travel = [0.0, 0.0, 0.5, 0.5] }\n'


@pytest.fixture(scope="module")
def done(tmp_path_factory, names):
    folder = tmp_path_factory.mktemp("learns")
    path = folder / "study.toml"
    path.write_text(
        'design = "learning"\ntitle = "learns"\n'
        f'pedals = ["{names[0][0]}"]\nbodies = ["{names[1][0]}"]\n{STROKE}'
        'learn = ["pressed_once", { disturbance = "pressed_short", amount = "60 %" }, '
        '"deposits", "leads_reversed"]\n'
    )
    return tt.Study.load(path).run(folder / "out", progress=False)


def rows(done, **wanted):
    table = done.table
    for name, value in wanted.items():
        table = table[table[name] == value]
    return table


def test_every_limit_is_tried_beside_a_good_learn(done):
    table = done.table
    assert len(table.drop_duplicates(["disturbance", "limits"])) == 3 * 5
    assert set(table["limits"]) == set(LIMITS)
    good = rows(done, disturbance="no disturbance")
    assert list(good["grade"]) == ["not needed"] * 3
    assert good[["pedal_error", "blade_error"]].abs().max(axis=None) < 0.005


def test_refusals_have_names_sentences_and_numbers(done):
    (once,) = (row for _, row in rows(done, disturbance="pressed once", limits="default").iterrows())
    assert (once["grade"], once["learn_refusal"], once["response"]) == ("refused", "pressed once", "")
    assert "only once" in once["sentence"]
    assert once["measured"] < once["limit"] == pytest.approx(0.2)
    assert rows(done, disturbance="pressed once", limits="careless")["learn_accepted"].all()


def test_a_short_press_is_affine_and_a_hazard(done):
    """Analytic: an end at the share s of the travel takes a true x for x/s, so 100 % is at s and the error
    1/s − 1 at full travel. 0.7 %: noise over 0.1 s, rounding, the harness's pull resistors."""
    (row,) = (row for _, row in rows(done, disturbance="pressed short 60 %", limits="default").iterrows())
    assert row["hazard"]
    assert row["response"] == "uncommanded"
    assert row["pedal_full_at"] == pytest.approx(0.6, abs=0.007)
    assert row["pedal_zero_at"] == pytest.approx(0.0, abs=0.007)
    assert row["pedal_error"] == pytest.approx(1 / 0.6 - 1, abs=0.02)
    assert row["pedal_error_at"] == 1.0
    assert row["reached_half"] > row["asked_half"] + 0.2
    assert "pedal never reads too much" in row["rules_broken"]


def test_deposits_move_zero_by_their_size(done):
    """Analytic: deposits of 0.03 rad on a travel Θ put the learned zero at the true opening 0.03/Θ."""
    parameters = tt.body(done.table["body"].iloc[0]).mechanics.stops
    travel = parameters.open_angle - parameters.closed_angle
    mended, stays = (rows(done, kind="deposits", limits="default", after=a) for a in ("mended", "not mended"))
    assert len(mended) == len(stays) == 1
    assert mended["blade_zero_at"].item() == pytest.approx(0.03 / travel, abs=0.003)
    assert mended["pedal_zero_at"].item() == pytest.approx(0.0, abs=0.007)


def test_a_careless_learn_with_reversed_leads_is_the_worst(done):
    assert set(rows(done, kind="leads reversed", limits="default")["learn_refusal"]) == {"wrong direction"}
    assert sections._shown(done.table).iloc[0]["hazard"]
    careless = rows(done, kind="leads reversed", limits="careless", after="mended").iloc[0]
    assert careless["blade_zero_at"] == pytest.approx(1.0, abs=0.02), "the travel upside down"


def test_hazards_come_first_and_refused_last(done):
    shown = sections._shown(done.table)
    order = ["hazard", "late", "missed", "false alarm", "none", "in time", "not needed", "refused"]
    ranks = [order.index(grade) for grade in shown["grade"]]
    assert ranks == sorted(ranks)


def test_table_and_page(done):
    driven = done.table[done.table["grade"] != "refused"]
    rules = [*done.plan.design.more_rules, *done.plan.design.rules]
    verdicts = done.verdicts()
    assert set(verdicts.index) == set(driven.index)
    assert len(verdicts) == len(driven) * len(rules)
    page = report.write(done).read_text()
    assert done.headline in page
    for text in (
        "HAZARD",
        "wrong direction",
        "T.4.2.3",
        "hands and tools out of",
        "Refused learns",
        "Position error",
    ):
        assert text in page, text


def test_threads_do_not_matter(done, tmp_path):
    again = tt.Study(done.plan).run(tmp_path / "out", jobs=1, progress=False)
    pd.testing.assert_frame_equal(again.table, done.table)


def test_without_a_list_every_disturbance_is_tried(names):
    made = tt.Study.make(design="learning", pedals=[names[0][0]], bodies=[names[1][0]])
    specs = made.plan.specs
    tried = {disturbance.name for spec in specs for disturbance in spec.pairing.disturbed_learn.disturbances}
    assert tried == {kind.name for kind in tt.disturbance_catalogue()}
    assert len({made.plan.design.label(spec) for spec in specs}) == len(specs)
    trials = {(spec.labels["disturbance"], spec.labels["limits"]) for spec in specs}
    assert len(trials) == len(LIMITS) * len(disturbances.disturbed_learns(made.plan.study))
    assert len({spec.noise for spec in specs}) == len(trials)


def test_on_the_command_line(tmp_path, names):
    path = tmp_path / "study.toml"
    path.write_text(
        f'design = "learning"\npedals = ["{names[0][0]}"]\nbodies = ["{names[1][0]}"]\n{STROKE}'
        'learn = [{ disturbance = "pressed_once", limits = "strict" }]\n'
    )
    result = CliRunner().invoke(main, ["run", str(path), "--out", str(tmp_path / "out"), "--quiet"])
    assert result.exit_code == 0, result.output
    assert "Of 1 disturbed learns 1 are refused." in result.output
    assert (tmp_path / "out" / "report.html").exists()
    path.write_text("learn = [3]")
    assert CliRunner().invoke(main, ["run", str(path), "--out", str(tmp_path / "o")]).exit_code == 2


@pytest.mark.parametrize(
    ("believed", "level", "expected"),
    [
        ([0.1, 0.35, 0.6, 0.85, 1.1], 1.0, 0.9),
        ([0.1, 0.35, 0.6, 0.85, 1.1], 0.0, -0.1),
        ([1.0, 0.75, 0.5, 0.25, -0.25], 0.0, 0.875),
        ([0.0, 0.2, 0.4, 0.6, 0.8], 1.0, 1.25),
    ],
)
def test_where_a_level_is_believed(believed, level, expected):
    """Analytic: straight lines."""
    true = np.linspace(0.0, 1.0, 101)
    line = np.interp(true, np.linspace(0.0, 1.0, 5), believed)
    assert consequences.where(true, line, level) == pytest.approx(expected, abs=1e-12)


def test_a_level_that_never_comes_has_no_place():
    true = np.linspace(0.0, 1.0, 101)
    assert math.isnan(consequences.where(true, np.full(101, 0.5), 1.0))


@pytest.mark.parametrize("body", list(tt.bodies()))
def test_healthy_bodies_learn_within_tolerance(body):
    """Springs and friction off by what we take for a tolerance (10 %, no source). Strict limits refuse a body
    that is neither on its stop nor lifted off it, as the published Set B: friction beats its opener."""
    spread = [
        tt.Fault(where=where, what="scale", amount=amount)
        for where, amount in (
            ("body.friction", 1.1),
            ("body.return_spring", 0.9),
            ("body.opener_spring", 0.9),
        )
    ]
    parameters = tt.BenchParameters(pedal=tt.pedal(next(iter(tt.pedals()))), body=tt.body(body))
    for faults in ([], spread[:1], spread[1:2], spread[2:]):
        assert (run := tt.learn(parameters, faults=faults)).accepted, run.reason
        strict = tt.learn(parameters, faults=faults, strictness="strict")
        assert strict.accepted or (body == "set-b" and strict.refusal == "default outside"), strict.reason


@pytest.mark.parametrize("body", [b for b in tt.bodies() if not b.startswith("set-")])
@pytest.mark.parametrize("factor", [2.0, 2.5, 5.0])
def test_a_blade_that_friction_holds_is_refused(body, factor):
    """A sticky blade is refused wherever it learns a default position that is more than 2 % of travel off."""
    parameters = tt.BenchParameters(pedal=tt.pedal(next(iter(tt.pedals()))), body=tt.body(body))
    good = tt.learn(parameters).range.default_opening
    sticky = [tt.LearnDisturbance("sticky_blade", factor)]
    blind = tt.learn(parameters, disturbances=sticky, strictness="careless")
    off = abs(blind.range.default_opening - good) if blind.accepted else math.inf
    if off > 0.02:
        assert not tt.learn(parameters, disturbances=sticky).accepted, off


def test_the_rules_on_a_range_are_listed_and_are_no_rules_of_a_run(tmp_path):
    assert [r.name for r in tt.rules(rulebook.LEARNED_RANGE)] == [r.name for r in tt.learned_range_rules()]
    listed = CliRunner().invoke(main, ["list", "rules"]).output
    assert "T.4.2.3" in listed
    assert rulebook.LEARNED_RANGE in listed
    path = tmp_path / "study.toml"
    path.write_text(f'rule_sets = ["{rulebook.LEARNED_RANGE}"]')
    with pytest.raises(tt.InputError, match=r"line 1: rule_sets: .*held against what was learned"):
        reader.load(path)


def test_learned_range_rules_name_what_is_wrong(names):
    """Competition rules on a range: the good one keeps them all, an edited one breaks its own."""
    parameters = tt.BenchParameters(pedal=tt.pedal(names[0][0]), body=tt.body(names[1][0]))
    good = tt.learn(parameters).range

    def failed(learned):
        travel = tt.learned_travel(parameters, learned)
        found = tt.judge_rules(tt.learned_range_rules(), travel, parameters=parameters, learned=learned)
        assert {v.finding for v in found} <= {"passed", "failed"}
        return {v.rule for v in found if v.finding == "failed"}

    assert failed(good) == set()
    values = good.to_dict()
    values.pop("checksum")
    shifted = [[r + 0.15 * (t[-1] - t[0]) for r in t] if k else t for k, t in enumerate(values["pedal"])]
    assert failed(tt.LearnedRange.from_dict({**values, "pedal": shifted})) == {"learned pedal tracks agree"}
    assert failed(good.replace(default_opening=good.default_opening + 0.03)) == {"default position is known"}
    late = [[t[0] + 0.2 * (t[-1] - t[0]) + 0.8 * (r - t[0]) for r in t] for t in values["throttle"]]
    assert "position is the blade's" in failed(tt.LearnedRange.from_dict({**values, "throttle": late}))


def test_the_error_of_a_foreign_range_is_affine():
    """Analytic: ends (a, b) read by the range (a', b') give
    p − x = (a − a')/(b' − a') + x ((b − a)/(b' − a') − 1). Ideal chain:
    straight tracks, ideal wiring; the code's agrees to 1e-12."""
    mine, other = (0.15, 0.78), (0.19, 0.83)
    tracks = [tt.TrackParameters(ratio=list(mine)), tt.TrackParameters(ratio=[r / 2 for r in mine])]
    bench = tt.BenchParameters()
    parameters = bench.replace(
        {"pedal": bench.pedal.replace({"tracks": tracks}), "wiring": tt.WiringParameters(kind="ideal")}
    )
    values = tt.learn(parameters).range.to_dict()
    values.pop("checksum")
    line = np.linspace(*other, 33)
    learned = tt.LearnedRange.from_dict({**values, "pedal": [line.tolist(), (line / 2).tolist()]})
    travel = tt.learned_travel(parameters, learned)
    x = travel["pedal.travel"]
    expected = (mine[0] - other[0]) / (other[1] - other[0]) + x * (
        (mine[1] - mine[0]) / (other[1] - other[0]) - 1
    )
    error = consequences.error(travel, "pedal.position", "pedal.travel")
    np.testing.assert_allclose(error, expected, rtol=0, atol=1e-12)
    assert len(x) == 101


def test_travel_refuses_a_range_of_other_parts(names):
    parameters = tt.BenchParameters(pedal=tt.pedal("three-track"), body=tt.body(names[1][0]))
    two = tt.learn(tt.BenchParameters(pedal=tt.pedal(names[0][0]), body=tt.body(names[1][0]))).range
    with pytest.raises(
        tt.InvalidParameter, match="has 2 pedal tracks and 2 throttle tracks, the pair 3 and 2"
    ):
        tt.learned_travel(parameters, two)
