# SPDX-License-Identifier: BSD-3-Clause
"""The lessons: their pages and questions belong together, and their answers are what others find too."""

import html
import json
import math
import re
from pathlib import Path

import control
import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

import twintrack as tt
from twintrack import linear
from twintrack.cautions import CAUTION, ENGINE_CAUTION
from twintrack.lessons import idle, pid
from twintrack.lessons.answers import answer_of, lesson_of
from twintrack.lessons.measures import overshoot, period, swing

FOLDER = Path(__file__).parents[2] / "examples/lessons"
NAMES = list(tt.lessons.lessons())
QUESTIONS = [(name, question) for name in NAMES for question in tt.lessons.questions(name)]


def answer(lesson, question):
    return answer_of(next(q for q in lesson_of(lesson).questions if q.name == question))


def page(lesson):
    return (FOLDER / lesson_of(lesson).file).read_text(encoding="utf-8")


def test_there_are_eight_and_each_has_its_page():
    assert len(NAMES) == 8
    assert sorted(lesson_of(name).file for name in NAMES) == sorted(p.name for p in FOLDER.glob("*.md"))


@pytest.mark.parametrize("lesson", NAMES)
def test_a_page_asks_every_question_once_and_no_other(lesson):
    asked = re.findall(r'tt\.lessons\.check\(\s*"([^"]+)", "([^"]+)", None\s*\)', page(lesson))
    assert sorted(asked) == sorted((lesson, name) for name in tt.lessons.questions(lesson))


@pytest.mark.parametrize("lesson", NAMES)
def test_a_page_has_its_parts_and_the_cautions(lesson):
    text = page(lesson)
    for part in ("**Aim.**", "**Theory.**", "Source", "## Prediction", "## Trap", "## A task of your own"):
        assert part in text, part
    words = " ".join(text.replace("> ", "").split())
    assert CAUTION in words
    assert (ENGINE_CAUTION in words) == (lesson == "idle")
    assert text.startswith("---\njupyter:\n  jupytext:")


@pytest.mark.parametrize(("lesson", "question"), QUESTIONS)
def test_the_right_answer_is_right_and_a_wrong_one_gets_a_hint(lesson, question):
    asked = next(q for q in lesson_of(lesson).questions if q.name == question)
    right = answer(lesson, question)
    assert tt.lessons.check(lesson, question, right).right
    assert tt.lessons.check(lesson, question, None).right is None
    if asked.choices:
        assert right in asked.choices
        wrong = [choice for choice in asked.choices if choice != right]
    else:
        assert math.isfinite(right)
        wrong = [right * (1 + 1.5 * asked.tolerance) + 1e-3, right * (1 - 1.5 * asked.tolerance) - 1e-3]
        wrong = [right + 1.0, right - 1.0] if right == 0.0 else wrong
    for one in wrong:
        feedback = tt.lessons.check(lesson, question, one)
        assert feedback.right is False
        assert asked.hint in str(feedback)
        assert html.escape(asked.hint) in feedback._repr_html_()


@pytest.mark.parametrize(
    ("lesson", "question", "given", "said"),
    [
        ("open lop", "x", 1.0, "did you mean 'open loop'?"),
        ("open loop", "electrical", 1.0, "did you mean 'electrical time constant'?"),
        ("open loop", "electrical time constant", "1 ms", "must be a finite number; got '1 ms'"),
        ("open loop", "electrical time constant", math.nan, "must be a finite number; got nan"),
        ("open loop", "electrical time constant", True, "must be a finite number; got True"),
        ("open loop", "twice the voltage", "far", "must be one of 'twice as far'"),
    ],
)
def test_an_answer_of_the_wrong_kind_is_refused(lesson, question, given, said):
    with pytest.raises(tt.InputError, match=re.escape(said)):
        tt.lessons.check(lesson, question, given)


@pytest.mark.parametrize("lesson", NAMES)
def test_the_state_is_plain_and_makes_the_same_bench(lesson):
    state = tt.lessons.state(lesson)
    assert json.loads(json.dumps(state))["pedal"] == state["pedal"]
    bench = tt.lessons.bench(lesson)
    again = tt.Bench(pedal=state["pedal"], body=state["body"], engine=state["engine"])
    changed = again.parameters.replace(state["changes"]).replace(state["changes_after_learn"])
    assert bench.parameters == changed
    assert bench.learned.pedal_name == state["learned_with"]["pedal"]


def test_time_constants_are_those_of_the_poles_by_python_control():
    """The textbook's three states; the simulation's friction adds a fourth, fast one."""
    m = tt.body("set-a").mechanics
    motor, k, d = m.motor, m.springs.open_rate, m.friction.viscous
    a = [[-motor.resistance / motor.inductance, 0, -motor.constant / motor.inductance]]
    a += [[0, 0, 1], [motor.constant / m.inertia, -k / m.inertia, -d / m.inertia]]
    poles = control.poles(control.ss(a, [[1 / motor.inductance], [0], [0]], [[0, 1, 0]], [[0]]))
    fast, middle, slow = sorted(-1.0 / poles.real)
    assert answer("open loop", "slow time constant") == pytest.approx(slow, rel=0.02)
    assert answer("open loop", "mechanical time constant") == pytest.approx(1e3 * middle, rel=0.05)
    assert answer("open loop", "electrical time constant") == pytest.approx(1e3 * fast, rel=0.06)
    ours = np.sort(-1.0 / linear.plant(tt.body("set-a"), angle=0.5, motion="opening").poles.real)
    assert ours[1:] == pytest.approx([fast, middle, slow], rel=0.01)


def test_voltages_of_the_open_loop_are_those_of_the_torques():
    """Slowly sliding: K u/R = spring ± friction; the staircase of the page turns at these voltages."""
    volts = 1.5 / 0.383
    assert answer("open loop", "opening voltage") == pytest.approx((0.396 + 0.284) * volts, rel=0.003)
    assert answer("open loop", "voltage span") == pytest.approx(0.087 * math.pi / 2 * volts, rel=0.003)
    closing = (0.396 + 0.087 * math.pi / 4 - 0.284) * volts
    assert answer("open loop", "closing voltage") == pytest.approx(closing, rel=0.01)


def test_overshoot_is_that_of_python_control_and_friction_lowers_it():
    zeta = pid.damping_ratio(60.0, 0.3)
    second = control.tf([1.0], [1.0, 2 * zeta, 1.0])
    assert answer("pid", "overshoot") == pytest.approx(control.step_info(second)["Overshoot"], rel=0.01)
    gains = {"proportional": 60.0, "integral": 0.0, "derivative": 0.3, "set_point_time": 0.0}
    with_friction = overshoot(pid.run_with(gains, stroke=pid.step_stroke()), 2.0)
    low = {f"body.mechanics.friction.{name}": 0.001 for name in ("coulomb", "breakaway")}
    without = overshoot(pid.run_with(gains, low, pid.step_stroke()), 2.0)
    bench = pid.SETTING.bench(**gains)
    model = linear.bench(
        bench.parameters.body, opening=0.35, integral=False, controller=bench.parameters.controller
    ).select(inputs="demand", outputs="opening")
    _, response = control.step_response(control.ss(*model), np.arange(0.0, 0.5, 1e-3))
    linear_one = 100.0 * (response.max() / response[-1] - 1.0)
    assert with_friction < answer("pid", "overshoot") < without < 1.1 * linear_one


def test_hunting_lasts_on_a_sticky_bore_and_needs_its_friction():
    gains = {"proportional": 40.0, "derivative": 0.5, "integral": 1200.0}
    sticky = pid.run_with(gains, pid.STICKY, tt.Stroke(time=[0, 1, 1.3, 14], travel=[0, 0, 0.4, 0.4]))
    assert swing(sticky, 10.0) > 1.5, "to the end"
    assert 0.25 < period(sticky, 8.0) < 0.5
    clean = pid.run_with(gains, pid.STICKY | {"body.mechanics.friction.breakaway": 0.1})
    assert swing(clean, 5.0) < 0.2
    assert math.isnan(period(clean, 5.0))


def test_feed_forward_halves_the_error():
    with_it, without = (answer("feed-forward", f"{word} feed-forward") for word in ("with", "without"))
    assert with_it < 0.5 * without
    m = tt.body("opposed-six").mechanics
    per_volt = m.motor.constant * m.motor.gear_ratio * m.motor.gear_efficiency / m.motor.resistance
    assert answer("feed-forward", "jump") == pytest.approx(0.5 / per_volt, rel=0.05)


def test_a_drift_is_detected_when_the_ramp_reaches_the_limit():
    assert answer("two tracks", "smallest") == pytest.approx(7.6)
    # 10 % of the supply in a second; then the confirm time and one tick.
    assert answer("two tracks", "detection time") == pytest.approx(760 + 101, abs=25)
    assert answer("two tracks", "beyond") == pytest.approx(10 / 0.76, rel=0.04)
    rest = tt.body("opposed-six").mechanics.springs.rest_angle
    assert answer("two tracks", "after the reaction") == pytest.approx(
        100 * rest / math.radians(84), rel=0.02
    )
    assert answer("two tracks", "box in the line") == "neither"


def test_a_stale_range_errs_by_the_affine_law():
    assert answer("learned range", "believed") == pytest.approx(100 * (0.24 - 0.14) / (0.72 - 0.14))
    believed = answer("learned range", "believed") / 100
    opening = np.interp(believed, [0.0, 0.03, 1.0], [0.02, 0.02, 0.97])  # the pedal map
    assert answer("learned range", "opening at rest") == pytest.approx(100 * opening, rel=0.03)
    assert answer("learned range", "codes at rest") == 0
    lifted = 0.24 + 0.03 * (0.90 - 0.24)
    assert answer("learned range", "dead travel") == pytest.approx(100 * (lifted - 0.14) / 0.58, rel=0.03)


def test_a_return_lifts_by_the_divider():
    assert answer("wiring", "return") == pytest.approx(5 * 100 / (100 + 1500), rel=0.02)
    # V_return/5 V over the span 0.76 is 10 % at R/(R + 1500) = 0.076.
    assert answer("wiring", "most ohms") == pytest.approx(1500 * 0.076 / (1 - 0.076), rel=0.03)
    assert answer("wiring", "together") == "both"


def test_the_idle_is_that_of_the_study():
    """examples/idle_at_1600.toml states 1,614 rpm, three times the air and P0507 after ten seconds."""
    assert answer("idle", "speed") == pytest.approx(1600, rel=0.02)
    assert answer("idle", "air") == pytest.approx(3.0, rel=0.03)
    assert answer("idle", "opening") == pytest.approx(100 * 0.058 / 0.76)
    late = idle._late(idle._run(), "blade.opening")
    assert 100 * late == pytest.approx(answer("idle", "opening"), rel=0.03)
    assert answer("idle", "why no correlation code") == 0.0


def test_counted_hazards_are_those_expected():
    found, expected = answer("campaign", "hazards"), answer("campaign", "expected hazards")
    low, high = proportion_confint(int(found), 128, method="wilson")
    assert 100 * low < expected < 100 * high
    bound = proportion_confint(0, 128, method="wilson")[1]
    assert answer("campaign", "upper bound") == pytest.approx(100 * bound)
    assert answer("campaign", "cases needed") == 299
    assert 0.99**299 < 0.05 < 0.99**298
