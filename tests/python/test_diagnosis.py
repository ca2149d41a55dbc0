# SPDX-License-Identifier: BSD-3-Clause
"""Diagnosis: ranking, calibration, groups, what to measure next, errors in what was observed.

One dictionary of some families with few draws serves all tests; `.ci/sweeps diagnosis` has the whole one.
Calibration is judged by proper scores (Brier 1950; Gneiting & Raftery 2007), with SciPy's binomial interval.
"""

import itertools

import diagnosis_cases
import numpy as np
import pytest
from click.testing import CliRunner
from scipy import stats

import twintrack as tt
from twintrack.command.cli import main
from twintrack.diagnosis import dictionary, explain
from twintrack.diagnosis.answer import NONE
from twintrack.diagnosis.groups import groups
from twintrack.diagnosis.interview import Interview, converse
from twintrack.diagnosis.likelihood import student
from twintrack.diagnosis.next_reading import STATES, state_of
from twintrack.diagnosis.readings import Meter, Reading
from twintrack.errors import InputError

ONLY = ("track", "wiring: exchange", "wiring: open", "supply")
SEEN, UNSEEN = 10, 3
SIGNAL = "pin pedal signal 1"


@pytest.fixture(scope="module")
def world(tmp_path_factory):
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six").parameters
    plan = dictionary.plan_of(dictionary.study_of(bench), only=ONLY)
    return diagnosis_cases.world(plan, UNSEEN, tmp_path_factory.mktemp("dictionary"), SEEN)


@pytest.fixture(scope="module")
def model(world):
    return world[0]


@pytest.fixture(scope="module")
def told(world):
    model, plan, unseen = world
    return diagnosis_cases.told_of(model, plan, unseen, 150)


def observed(**more):
    return {"ground": "battery minus", "codes": ["P2138", "P2116"]} | more


CROSSED = "'pedal signal 1' and 'pedal signal 2' exchanged"


def test_the_true_cause_stands_first(told):
    low = stats.binomtest(int(told["right"].sum()), len(told)).proportion_ci().low
    assert told["right"].mean() >= 0.95
    assert low > 0.9
    assert told["measurements"].mean() <= 4.0


def test_probabilities_are_calibrated(told):
    """In the large, and by proper scores: better than a forecast of the same mean that knows nothing."""
    assert abs(told["claimed"].mean() - told["right"].mean()) <= 0.02
    assert told["brier"].mean() < 0.1
    assert -np.log(told["truth"]).mean() < 0.3
    steps = [step for row in told["steps"] for step in row]
    middle = [(claimed, right) for claimed, right in steps if 0.2 < claimed < 0.9]
    claimed, right = np.mean(middle, axis=0)
    interval = stats.binomtest(round(right * len(middle)), len(middle)).proportion_ci(0.99)
    assert interval.low - 0.05 <= claimed <= interval.high + 0.05
    pytest.importorskip("statsmodels")
    share, low, high = diagnosis_cases.curve_at(told, 0.9)
    assert low <= share <= high
    assert low - 0.02 <= 0.9 <= high + 0.02


def test_chosen_measurements_beat_random_ones(world):
    model, plan, unseen = world
    few = diagnosis_cases.told_of(model, plan, unseen, 40, choose="best", seed=5)
    chance = diagnosis_cases.told_of(model, plan, unseen, 40, choose="random", seed=5)
    assert few["measurements"].mean() <= 0.5 * chance["measurements"].mean()


def test_three_observations_and_the_cause(model):
    volts = [{"at": SIGNAL, "reads": "0.352 V"}, {"at": "pin pedal signal 2", "reads": "0.704 V"}]
    answer = model.explain(observed(volts=volts))
    assert answer.best.causes == (CROSSED,)
    assert answer.best.probability > 0.9
    shown = [name for group in answer.shown_groups() for name in group.causes]
    assert NONE in shown
    assert "healthy" in shown
    assert sum(group.probability for group in answer.groups) == pytest.approx(1.0)
    assert "exchanged" in str(answer)
    assert len(answer.to_pandas()) == len(answer.groups)


def test_what_contradicts_is_said(model):
    volts = [{"at": SIGNAL, "reads": "0.70 V"}, {"at": SIGNAL, "when": "half", "reads": "4.9 V"},
             {"at": "pin throttle reference 1", "reads": "5.0 V"}]  # fmt: skip
    answer = model.explain({"ground": "engine block", "volts": volts})
    assert answer.best.causes == (NONE,)
    assert len(answer.contradiction) == 2
    assert {reading.a for reading in answer.contradiction} == {SIGNAL}
    assert {reading.stand for reading in answer.contradiction} == {"rest", "half"}
    assert "These two disagree" in str(answer)


def test_what_no_cause_explains_by_itself(model):
    answer = model.explain({"ground": "engine block", "volts": [{"at": SIGNAL, "reads": "-7 V"}]})
    assert answer.best.causes == (NONE,)
    assert len(answer.contradiction) == 1
    assert "No single cause explains this" in str(answer)


def test_priors_are_the_users(model):
    table = {"codes": ["P2138", "P2116"]}
    even = model.explain(table)
    weighed = explain.Diagnosis(model.known, priors={"wiring": 50.0, NONE: 0.01}).explain(table)

    def share(answer):
        return sum(g.probability for g in answer.groups if g.family == "wiring")

    assert share(weighed) > share(even)
    for priors, message in (
        ({"wirin": 2.0}, "did you mean 'wiring'"),
        ({"wiring": -1.0}, "must weigh 0 or more"),
        ({NONE: 0.0}, "between 0 and 1"),
    ):
        with pytest.raises(InputError, match=message):
            explain.Diagnosis(model.known, priors=priors)


def test_groups_are_apart_only_where_the_nets_differ(model):
    """Two wiring faults of different groups have nominal nets that differ by more than a meter's error
    somewhere; with the volts at rest of one pin alone, nearly all fall together."""
    bench, known = model.known.design.bench, model.known
    faults = {f.text: f for f in tt.every_single_wiring_fault(bench.pedal, bench.body)}
    stands = [(0.0, "released"), (0.5, "released"), (1.0, "released"), (0.0, "closed"), (0.0, "open")]
    pairs = [(r.a, r.b) for r in known.readings if r.kind == "ohms"]
    read = {}
    for text in [label for label in known.labels if label in faults]:
        volts = tt.standing_volts(bench, faults=[faults[text]], stands=stands).ravel()
        ohms = tt.unplugged_ohms(bench, faults=[faults[text]], pairs=pairs)
        read[text] = np.concatenate([volts / (0.005 + 0.005 * np.abs(volts)), np.log10(ohms + 0.1) / 0.02])
    member = {known.labels[k]: n for n, group in enumerate(model.members) for k in group}
    for a, b in itertools.combinations(read, 2):
        if member[a] != member[b]:
            assert np.abs(read[a] - read[b]).max() > 1.0, (a, b)
    one = groups(known, [Reading("volts", "pin throttle return 1", "battery minus", "rest")], Meter())
    assert len(one) < 0.2 * len(model.members)


def test_density_is_students():
    """SciPy's multivariate t beside ours."""
    rng = np.random.default_rng(2)
    a = rng.normal(size=(4, 3, 3))
    scale = a @ a.transpose(0, 2, 1) + np.eye(3)
    x = rng.normal(size=(4, 3))
    expected = [
        stats.multivariate_t(np.zeros(3), s, df=7.0).logpdf(row) for s, row in zip(scale, x, strict=True)
    ]
    assert student(x, scale, 7.0) == pytest.approx(np.array(expected), rel=1e-10)


def test_the_next_measurement(model):
    answer = model.explain({"codes": ["P2138", "P2116"]})
    following = model.next(answer)
    assert following
    worth = [s.gain / (s.minutes * s.hazard) for s in following]
    assert worth == sorted(worth, reverse=True)
    assert all(s.reading not in answer.observed for s in following)
    assert all(
        "out of the bore" in s.caution or "motor leads off" in s.caution or "apart" in s.caution
        for s in following
    )
    assert not [s for s in model.next(answer, without=("still",)) if s.reading.kind == "volts"]
    hazards = [STATES[name][1] for name in ("off", "still", "live", "learn", "running")]
    assert hazards == sorted(hazards), "unplugged before powered, engine off before engine running"


def test_no_hand_at_a_blade_that_may_be_driven(model):
    for reading in model.known.readings:
        if reading.stand in ("closed", "open"):
            assert state_of(reading) == "still"
    assert "motor leads off" in STATES["still"][2]


def test_gain_is_what_one_learns(world):
    """The expected gain of a reading is the mean drop of entropy over cases drawn from the answer itself."""
    model, plan, unseen = world
    prior = model.explain({"codes": ["P2138", "P2116"]})
    best = model.next(prior)[0]
    rng = np.random.default_rng(3)
    inside = prior.probabilities[:-1] / prior.probabilities[:-1].sum()

    def entropy(answer):
        p = np.array([g.probability for g in answer.groups if g.probability > 0])
        return -(p * np.log2(p)).sum()

    drops = []
    for cause in rng.choice(len(inside), 60, p=inside):
        truth = diagnosis_cases.Truth(plan, unseen, cause, rng.integers(UNSEEN), rng, SEEN)
        seen = prior.observed | {best.reading: truth.read(best.reading, model.meter)}
        drops.append(entropy(prior) - entropy(model.explain(seen)))
    assert np.mean(drops) == pytest.approx(best.gain, abs=0.6)


def test_question_and_answer(model):
    interview = Interview(model, observed())
    first = interview.question.reading
    interview.skip()
    assert interview.question.reading != first
    interview.cannot("off")
    assert interview.question is None or state_of(interview.question.reading) != "off"
    with pytest.raises(InputError, match="no state 'upside down'"):
        interview.cannot("upside down")
    more = Interview(model, observed()).add(
        {"ohms": [{"between": ("pedal signal 1", SIGNAL), "reads": "open"}]}
    )
    assert more.asked == 2
    assert CROSSED in [cause for group in more.response.groups[:12] for cause in group.causes]
    lines, said = iter(["help", "garbage", "skip", "stop"]), []
    answer = converse(Interview(model, observed()), lambda _: next(lines), said.append)
    assert answer.groups
    assert any("a value such as" in text for text in said)


def test_an_interview_finds_the_cause(world):
    model, plan, unseen = world
    cause = model.known.labels.index(CROSSED)
    truth = diagnosis_cases.Truth(plan, unseen, cause, 0, np.random.default_rng(4), SEEN)
    interview = Interview(model)
    while interview.question is not None and interview.asked < 12:
        interview.tell(truth.read(interview.question.reading, model.meter))
    assert interview.response.best.causes == (CROSSED,)
    assert "One group is left" in str(interview)


VOLT = {"at": SIGNAL, "reads": "0.7 V"}


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ({}, "no observation; give at least one"),
        ({"code": ["P2138"]}, "unknown key; did you mean 'codes'"),
        ({"codes": "P2138"}, "must be a list"),
        ({"codes": ["P21"]}, "'P21' is no code of SAE J2012"),
        ({"codes": ["P1234"]}, "maker's own range"),
        ({"codes": ["P0300"]}, "no cause of this dictionary sets P0300"),
        ({"codes": ["P2138", "P2138-62"]}, "P2138 is given twice"),
        ({"volts": [VOLT]}, "a voltage needs its ground"),
        ({"ground": "chassis", "volts": [VOLT]}, "'chassis' is none of"),
        ({"ground": "ground", "volts": [VOLT | {"reads": "0.7 A"}]}, r"volts\[1\].reads: wrong dimension"),
        ({"ground": "ground", "volts": [VOLT | {"reads": "5000 V"}]}, "beyond 1000 V"),
        ({"ground": "ground", "volts": [VOLT | {"when": "nearly"}]}, "'nearly' is not of this pair"),
        ({"ground": "ground", "volts": [VOLT, VOLT]}, "is given twice"),
        (
            {"ground": "ground", "volts": [VOLT | {"at": "pin pedal signal 3"}]},
            "is not of this pair; did you mean",
        ),
        ({"ohms": [{"between": [SIGNAL, "motor +"], "reads": "open"}]}, "not read between these"),
        ({"ohms": [{"between": ["pedal signal 1", SIGNAL], "reads": "-1 ohm"}]}, "not negative"),
        ({"ohms": [{"between": ["pedal signal 1"], "reads": "open"}]}, "a list of two points"),
        ({"key_on": "jumps"}, "'jumps' is none of still, moves, opens"),
        ({"learn": "bored"}, "'bored' is none of"),
        ({"idle": 800}, "this bench has no engine"),
    ],
)
def test_errors_in_what_was_observed(model, table, message):
    with pytest.raises(InputError, match=message):
        model.explain(table)


def test_command(tmp_path, monkeypatch, model):
    monkeypatch.setattr(explain.Diagnosis, "of", staticmethod(lambda *_, **__: model))
    text = 'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\n[observed]\ncodes = ["P2138", "P2116"]\n'
    path = tmp_path / "observed.toml"
    path.write_text(text)
    out = tmp_path / "out"
    told = CliRunner().invoke(main, ["explain", str(path), "--out", str(out)])
    assert told.exit_code == 0, told.output
    assert "Measure next: " in told.output
    assert "Caution: engine off" in told.output
    assert "Expected reading of each cause" in (out / "explain.html").read_text()
    asked = CliRunner().invoke(main, ["explain", str(path), "--ask"], input="0.35\nstop\n")
    assert asked.exit_code == 0, asked.output
    path.write_text(text.replace("[observed]", "[seen]"))
    wrong = CliRunner().invoke(main, ["explain", str(path)])
    assert wrong.exit_code == 2
    assert "must be a table ([observed])" in wrong.output
