# SPDX-License-Identifier: BSD-3-Clause
"""Rare events and double faults of a bench."""

import json
import math

import pytest

import twintrack as tt
from twintrack.designs.search.double import FIRST, NONE, SECOND, split
from twintrack.errors import InputError
from twintrack.experiments import report

DRIFT = {"where": "throttle.track1", "what": "offset", "amount": 0.0, "from": "0.5 s"}
TABLE = {
    "design": "rare events",
    "pedals": ["half-slope-low"],
    "bodies": ["opposed-six"],
    "learn": ["fresh"],
    "bench": {"wiring": {"kind": "ideal"}, "monitor": {"correlation_limit": 0.25}},
    "stroke": {"time": ["0 s", "1 s"], "travel": [0.2, 0.2]},
    "faults": [DRIFT],
    "tolerances": {"faults[1].amount": {"normal": [0.0, 0.026]}, "supply": {"normal": ["13 V", "0.3 V"]}},
}


def table(**changes):
    found = json.loads(json.dumps(TABLE)) | changes
    return {key: value for key, value in found.items() if value is not None}


@pytest.fixture(scope="module")
def levels(tmp_path_factory):
    study = tt.Study.make(**table(rare={"samples": 200}))
    return study.run(tmp_path_factory.mktemp("rare") / "out", progress=False)


def test_levels_and_brute_force_agree(levels, tmp_path):
    """The event is an offset of the controlled track beyond a threshold, so P = Φ(−threshold / 0.026) too."""
    found = levels.plan.design.estimate(levels.table, 2)
    study = tt.Study.make(**table(rare={"method": "brute force", "runs": 1500, "samples": 300}))
    result = study.run(tmp_path / "out", progress=False)
    brute = result.plan.design.estimate(result.table, 2)
    assert brute.runs == len(result) == 1500
    assert 3e-4 < brute.probability < 1e-2
    assert found.low <= brute.probability <= found.high
    broken = result.table["sought_margin"] < 0
    worst, best = (result.table.loc[b, "faults[1].amount"] for b in (broken, ~broken))
    assert worst.max() < best.min(), "the offset alone decides"
    threshold = 0.5 * (worst.max() + best.min())
    normal = 0.5 * math.erfc(-threshold / 0.026 / math.sqrt(2.0))
    assert found.low <= normal <= found.high
    assert brute.low <= normal <= brute.high


def test_what_it_says(levels):
    assert "is broken) = " in levels.headline
    assert "with 95 % confidence" in levels.headline
    assert len(levels) < 1000
    text = report.write(levels).read_text()
    assert "share of the level before" in text
    assert levels.replay(300).differences == []
    with pytest.raises(InputError, match="a probability needs cases that are drawn"):
        levels.shares()


def test_it_goes_on_where_it_stopped(levels, tmp_path):
    study = tt.Study.make(**table(rare={"samples": 200}))
    half = study.run(tmp_path / "out", cases=250, progress=False, jobs=1)
    assert "Not finished: 250 runs do not reach the event" in half.headline
    whole = study.run(tmp_path / "out", progress=False, jobs=1)
    assert whole.headline == levels.headline
    assert whole.to_pandas().equals(levels.to_pandas())


WRONG = [
    ({"tolerances": None}, "nothing scatters, so nothing is rare"),
    ({"rare": {"method": "luck"}}, "must be one of subset simulation, brute force"),
    ({"rare": {"samples": 10}}, "must be a whole number from 50"),
    ({"rare": {"share": 0.3, "samples": 100}}, "with 1/share a divisor"),
    ({"rare": {"rule": "nothing"}}, "there is no rule 'nothing'"),
]


@pytest.mark.parametrize(("changes", "message"), WRONG, ids=lambda c: str(c)[:40])
def test_bad_input(changes, message):
    with pytest.raises(InputError, match=message):
        tt.Study.make(**table(**changes))


def test_a_rule_of_yes_or_no_has_no_levels(tmp_path):
    rule = {"name": "never", "requires": "crisp (blade.opening < 90 %)", "limit": "1 %"}
    study = tt.Study.make(**table(rules=[rule], rare={"rule": "never", "samples": 50}))
    with pytest.raises(InputError, match="needs method = 'brute force'"):
        study.run(tmp_path / "out", progress=False)


def test_a_check_that_ends_the_fall_is_said(tmp_path):
    """The usual monitor sees the offset before the blade is far enough open: the margin falls no further."""
    study = tt.Study.make(**table(bench={"wiring": {"kind": "ideal"}}, rare={"samples": 50, "share": 0.2}))
    with pytest.raises(InputError, match=r"and no further|too many draws"):
        study.run(tmp_path / "out", progress=False)


DOUBLE = {
    "design": "double faults",
    "bench": {"wiring": {"kind": "ideal"}},
    "faults": None,
    "tolerances": None,
    "stroke": {"time": ["0 s", "0.4 s", "0.6 s", "1.1 s", "1.3 s", "2 s"], "travel": [0, 0, 0.4, 0.4, 0, 0]},
    "double_faults": {"first": "0.5 s", "second": "0.9 s"},
}


@pytest.fixture(scope="module")
def double(tmp_path_factory):
    """A few of the single faults only: a broken spring, a drift, a loose track, the reference."""
    from twintrack.designs.search.double import DoubleFaults

    few = [
        *("body return spring: scale × 0", "throttle track 2: offset +4 %"),
        *("throttle track 1: offset −100 %", "blade: torque +10 N·m", "pedal track 1: offset +100 %"),
    ]
    every = DoubleFaults.singles.func
    patch = pytest.MonkeyPatch()
    some = property(lambda design: {k: v for k, v in every(design).items() if k in few})
    patch.setattr(DoubleFaults, "singles", some)
    study = tt.Study.make(**table(**DOUBLE))
    yield study.run(tmp_path_factory.mktemp("double") / "out", progress=False)
    patch.undo()


def test_a_broken_spring_is_latent_until_the_motor_lets_go(double):
    """By the physics: the motor holds the blade against the opener spring, so nothing is seen of a broken
    return spring until a second fault switches the motor off; then the opener spring opens the blade."""
    single, pairs = split(double.table)
    spring, drift = "body return spring: scale × 0", "throttle track 2: offset +4 %"
    latent = {r[FIRST] for r in single if r[FIRST] != NONE and double.plan.design.latent(r)}
    assert {spring, drift} == latent
    loose = "throttle track 1: offset −100 %"
    worst = min(pairs, key=lambda row: row["sought_margin"])
    assert worst[FIRST] == spring
    assert worst["sought_margin"] < -1.0
    harmless = next(r for r in pairs if r[FIRST] == drift and r[SECOND] == loose)
    assert harmless["sought_margin"] > 0
    assert "break it though neither fault does alone" in double.headline


def test_pairs_are_pruned(double):
    single, pairs = split(double.table)
    assert len(single) == 1 + 2 * 5
    alone = {row[SECOND] for row in single if row[SECOND] != NONE and row["sought_margin"] < 0}
    assert alone == {"blade: torque +10 N·m"}
    assert not any(row[SECOND] in alone for row in pairs)
    assert len(pairs) == 2 * 4 - 2, "no fault with itself"
    assert "Latent faults" in report.write(double).read_text()


@pytest.mark.parametrize(
    ("changes", "message"),
    [({"first": "3 s"}, "needs 0 ≤ first < second < end"), ({"perceived": ["loud"]}, "must be a list of"),
     ({"first": 1}, "the unit is missing")],
)  # fmt: skip
def test_bad_input_of_double_faults(changes, message):
    with pytest.raises(InputError, match=message):
        tt.Study.make(**table(**DOUBLE | {"double_faults": changes}))
