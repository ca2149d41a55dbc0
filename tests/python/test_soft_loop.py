# SPDX-License-Identifier: BSD-3-Clause
"""A loop with 50° of phase margin: what it reaches together, on every built-in body, by one set of settings.

Gains by phase margin, a quicker observer with a slow load, a push on a blade that stands off its set point:
the feed-forward along the set point does the step. Bounds: the owner's requirement; margin by python-control.
What it costs is in lib/control/README.md.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from test_loop_margins import phase_margin

import twintrack as tt
from twintrack import _core

SOFT = {
    "phase_margin": 0.84,
    "observer_pole": 200.0,
    "load_pole": 4.0,
    "set_point_time": 0.0168,
    "rest_band": 0.003,
    "rest_limit": 0.006,
    "break_away_rate": 32.0,
}
UP, BACK, END = 1.5, 2.5, 3.5
FOOT = 0.001  # [s] of a step
PEDAL = "half-slope-high"


@pytest.mark.parametrize("name", sorted(tt.bodies()))
def test_phase_margin(name):
    assert phase_margin(tt.body(name), tt.ControllerParameters(**SOFT)) >= 50.0


@pytest.mark.parametrize("name", ["set-a", "set-b"])
def test_gains_are_those_of_the_closed_form(name):
    """Analytic: K_d = ω₀ T_m/K_v, K_p = K_d ω₀/tan φ, K_i = K_p/T_i, φ = φ_m − 90° + atan ω₀T_m + ω₀T_Σ."""
    m = tt.body(name).mechanics
    motor = m.motor
    constant = motor.gear_ratio * motor.constant * motor.gear_efficiency
    damping = motor.resistance * m.friction.viscous + constant * constant
    lags = motor.inductance / motor.resistance + 0.0003 + 0.001 + 0.0005
    crossover, motor_time = 0.64 / lags, motor.resistance * m.inertia / damping
    derivative = crossover * motor_time * damping / constant
    phase = 0.84 - math.pi / 2 + math.atan(crossover * motor_time) + 0.64
    proportional = derivative * crossover / math.tan(phase)
    gains = tt.loop_gains(tt.ControllerParameters(**SOFT), m)
    assert gains["derivative"] == pytest.approx(derivative, rel=1e-12)
    assert gains["proportional"] == pytest.approx(proportional, rel=1e-9)
    assert gains["integral"] == pytest.approx(proportional / 0.7, rel=1e-9)


def soft_bench(body):
    bench = tt.Bench(pedal=PEDAL, body=body).parameters
    learned = tt.run_learn(tt.Case(parameters=bench)).result
    return bench.replace({f"controller.{name}": value for name, value in SOFT.items()}), learned


@pytest.fixture(scope="module", params=sorted(tt.bodies()))
def driven(request):
    """Body, its step up and back, its holds, its jam."""
    body = tt.body(request.param)
    bench, learned = soft_bench(request.param)
    stops = body.mechanics.stops
    travel = stops.open_angle - stops.closed_angle
    low, high = np.interp([0.1, min(0.1 + math.radians(72.0) / travel, 0.97)], [0.02, 0.97], [0.03, 1.0])
    steps = tt.Stroke(
        time=[0.0, UP, UP + FOOT, BACK, BACK + FOOT, END], travel=[low, low, high, high, low, low]
    )
    holds = [tt.Stroke(time=[0, 1, 1.3, 12], travel=[0, 0, h, h]) for h in (0, 0.25, 0.5, 0.75, 1)]
    wanted = 0.02 + 0.95 * (0.7 - 0.03) / 0.97
    short = tt.Fault(
        where="body.open_stop", what="shift", amount=-(1.03 - wanted) * travel, start=0.5
    )  # 3 % of travel short of where the foot asks the blade to be
    jam = tt.Case(
        parameters=bench, stroke=tt.Stroke(time=[0, 1, 1.3, 6], travel=[0, 0, 0.7, 0.7]), faults=[short]
    )
    cases = [tt.Case(parameters=bench, stroke=stroke) for stroke in (steps, *holds)]
    signals = ["blade.angle", "demand", "duty", "motor.current"]
    ran = _core.run_batch([*cases, jam], [learned] * 7, signals=signals)
    assert not any(one.result.codes for one in ran[:-1])
    step, *held, jammed = (one.result for one in ran)
    return body, step.record, [one.record for one in held], jammed


def test_step_up_and_back(driven):
    body, record, _, _ = driven
    stops, time, demand = body.mechanics.stops, record.time, record["demand"]
    for way, begin, end in ((1.0, UP, BACK), (-1.0, BACK, END)):
        moved = (time >= begin) & (time < end)
        goal = stops.closed_angle + demand[moved][-200:].mean() * (stops.open_angle - stops.closed_angle)
        before = demand[np.searchsorted(time, begin) - 1]
        asked = time[moved][np.flatnonzero(np.abs(demand[moved] - before) > 0.3)[0]]
        off = way * np.degrees(record["blade.angle"][moved] - goal)
        outside = time[moved][np.abs(off) > 1.0]
        assert outside[-1] - asked <= 0.140
        assert off.max() <= 2.0


def test_holds_are_quiet(driven):
    body, _, holds, _ = driven
    travel = body.mechanics.stops.open_angle - body.mechanics.stops.closed_angle
    for record in holds:
        held = record.time >= 3.0
        assert record["duty"][held].std() <= 0.02
        assert record["motor.current"][held].std() <= 0.1
        assert np.ptp(record["blade.angle"][held]) <= 0.005 * travel


def test_a_jam_is_coded_within_a_second(driven):
    """The foot stands from 1.3 s on; without the push the same gains take up to three."""
    [code, *_] = driven[3].codes
    assert code.text == "P2101-71"
    assert code.confirmed - 1.3 <= 1.0


def test_lanes_push_as_the_exact_solver_does():
    """A blade jammed short of its set point, beside a bench without the push."""
    bench, learned = soft_bench("set-b")
    plain = tt.Bench(pedal=PEDAL, body="set-b").parameters
    jammed = tt.Fault(where="body.open_stop", what="shift", amount=-0.55, start=0.5)
    stroke = tt.Stroke(time=[0, 1, 1.3, 4], travel=[0, 0, 0.7, 0.7])
    cases = [tt.Case(parameters=p, stroke=stroke, faults=[jammed]) for p in (bench, plain)]
    for ours, case in zip(_core.run_lanes(cases, [learned] * 2), cases, strict=True):
        theirs = _core.run_case(case, learned=learned)
        assert [c.text for c in ours.codes] == [c.text for c in theirs.codes] == ["P2101-71"]
        assert ours.codes[0].confirmed == pytest.approx(theirs.codes[0].confirmed, abs=0.01)


def test_a_push_in_one_lane_changes_no_bit_of_another():
    pushed, learned = soft_bench("opposed-six")
    plain = tt.Bench(pedal=PEDAL, body="opposed-six").parameters
    stroke = tt.Stroke(time=[0, 1, 1.3, 3], travel=[0, 0, 0.7, 0.7])
    jammed = tt.Fault(where="body.open_stop", what="shift", amount=-0.55, start=0.5)
    both = [tt.Case(parameters=p, stroke=stroke, faults=[jammed]) for p in (pushed, plain)]
    _, beside = _core.run_lanes(both, [learned] * 2, trace=True, signals=["duty"])
    [alone] = _core.run_lanes(both[1:], [learned], trace=True, signals=["duty"])
    np.testing.assert_array_equal(beside.record["duty"], alone.record["duty"])


def test_without_a_rest_band_nothing_pushes():
    bench, learned = soft_bench("opposed-six")
    restless = bench.replace({"controller.rest_band": 0.0})
    stroke = tt.Stroke(time=[0, 1, 1.3, 3], travel=[0, 0, 0.3, 0.3])
    first, second = (
        _core.run_batch([tt.Case(parameters=p, stroke=stroke)], [learned], signals=["duty"])[0].result
        for p in (restless, restless.replace({"controller.break_away_rate": 0.0}))
    )
    np.testing.assert_array_equal(first.record["duty"], second.record["duty"])
