# SPDX-License-Identifier: BSD-3-Clause
"""A loop with 50° of phase margin: what it reaches together, on every built-in body.

Softer gains than the rule's, a quicker observer with a slow load, a wider rest band: the feed-forward along
the set point does the step. Bounds: the owner's requirement; margin by python-control. What it costs is in
lib/control/README.md.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from test_loop_margins import phase_margin

import twintrack as tt
from twintrack import _core

#: Shares of the rule's proportional and derivative gain, integral over proportional [1/s], poles of observer
#: and load [1/s], time of the set point's filters [s], rest band and rest limit [share of travel].
SOFT = (0.35, 1.1, 1.0, 200.0, 8.0, 0.016, 0.004, 0.008)
#: Of the two bodies with most friction for their motor.
OWN = {
    "set-a": (0.6, 1.0, 2.0, 165.0, 8.0, 0.0194, 0.004, 0.008),
    "set-b": (0.42, 1.6, 1.5, 300.0, 8.0, 0.019, 0.0047, 0.0088),
}
UP, BACK, END = 1.5, 2.5, 3.5
FOOT = 0.02  # [s] of a step: a quicker one is taken for an impossible signal


def soft(name):
    gains = tt.loop_gains(tt.ControllerParameters(), tt.body(name).mechanics)
    stiffness, damping, integral, observer, load, filters, band, limit = OWN.get(name, SOFT)
    return tt.ControllerParameters(
        proportional=stiffness * gains["proportional"],
        derivative=damping * gains["derivative"],
        integral=integral * stiffness * gains["proportional"],
        observer_pole=observer,
        load_pole=load,
        set_point_time=filters,
        rest_band=band,
        rest_limit=limit,
    )


@pytest.mark.parametrize("name", sorted(tt.bodies()))
def test_phase_margin(name):
    assert phase_margin(tt.body(name), soft(name)) >= 50.0


@pytest.fixture(scope="module", params=sorted(tt.bodies()))
def driven(request):
    """Body, its step up and back, its holds."""
    body = tt.body(request.param)
    bench = tt.Bench(pedal="half-slope-high", body=request.param).parameters
    learned = tt.run_learn(tt.Case(parameters=bench)).result
    bench = bench.replace({"controller": soft(request.param)})
    stops = body.mechanics.stops
    share = math.radians(72.0) / (stops.open_angle - stops.closed_angle)
    low, high = np.interp([0.1, min(0.1 + share, 0.97)], [0.02, 0.97], [0.03, 1.0])
    steps = tt.Stroke(
        time=[0.0, UP, UP + FOOT, BACK, BACK + FOOT, END], travel=[low, low, high, high, low, low]
    )
    strokes = [
        steps,
        *(tt.Stroke(time=[0, 1, 1.3, 12], travel=[0, 0, h, h]) for h in (0, 0.25, 0.5, 0.75, 1)),
    ]
    cases = [tt.Case(parameters=bench, stroke=stroke) for stroke in strokes]
    signals = ["blade.angle", "demand", "duty", "motor.current"]
    ran = _core.run_batch(cases, [learned] * len(cases), signals=signals)
    assert not any(one.result.codes for one in ran)
    step, *holds = (one.result.record for one in ran)
    return body, step, holds


def test_step_up_and_back(driven):
    body, record, _ = driven
    stops, time = body.mechanics.stops, record.time
    for way, begin, end in ((1.0, UP, BACK), (-1.0, BACK, END)):
        moved = (time >= begin) & (time < end)
        goal = stops.closed_angle + record["demand"][moved][-200:].mean() * (
            stops.open_angle - stops.closed_angle
        )
        off = way * np.degrees(record["blade.angle"][moved] - goal)
        outside = time[moved][np.abs(off) > 1.0]
        assert outside[-1] - (begin + FOOT) <= 0.140
        assert off.max() <= 2.0


def test_holds_are_quiet(driven):
    body, _, holds = driven
    travel = body.mechanics.stops.open_angle - body.mechanics.stops.closed_angle
    for record in holds:
        held = record.time >= 3.0
        assert record["duty"][held].std() <= 0.02
        assert record["motor.current"][held].std() <= 0.1
        assert np.ptp(record["blade.angle"][held]) <= 0.005 * travel
