# SPDX-License-Identifier: BSD-3-Clause
"""What a controller reaches on a body: margins by the linear model, step and hold by simulation in lanes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from .. import _core, linear
from ..errors import InputError
from ..parts import catalogue

STEP = 1.0
END = 2.0
_SIGNALS = ["blade.angle", "demand", "duty"]


def learned_of(body: Any, pedal: str) -> Any:
    """The range learn of a body."""
    found = _core.run_learns([_case(body, _core.ControllerParameters(), 13.5, pedal)])[0]
    if found.result is None:
        raise InputError(f"body: the range learn cannot be run: {found.refused}")
    if not found.result.accepted:
        raise InputError(f"body: the range learn is refused: {found.result.reason}")
    return found.result


def steps(
    bodies: Sequence[Any],
    controllers: Sequence[Any],
    supplies: Sequence[float],
    learned: Any,
    pedal: str,
) -> list[dict[str, float]]:
    """Settling [s], overshoot [deg] and duty noise of each case; not a number where the run went wrong."""
    cases = [_case(b, c, u, pedal) for b, c, u in zip(bodies, controllers, supplies, strict=True)]
    ran = _core.run_batch(cases, [learned] * len(cases), signals=_SIGNALS, threads=2)
    return [_measures(one, body) for one, body in zip(ran, bodies, strict=True)]


def margins(body: Any, controller: Any, supply: float, nominal: Any) -> dict[str, float]:
    """Phase margin [deg] and gain margin of the sliding blade at half travel; 0 when the loop is unstable."""
    options = {"controller": controller, "nominal": nominal, "supply": supply}
    if not linear.bench(body, **options).stable:
        return {"phase_margin": 0.0, "gain_margin": 1.0}
    found = linear.margins(linear.bench(body, closed=False, **options), 1000)
    return {"phase_margin": float(found.phase), "gain_margin": float(max(found.gain, 1.0 / found.gain))}


def _case(body: Any, controller: Any, supply: float, pedal: str) -> Any:
    stops = body.mechanics.stops
    low, share = 0.1, math.radians(72.0) / (stops.open_angle - stops.closed_angle)
    pressed, asked = controller.pedal_map.pedal, controller.pedal_map.opening
    first, last = np.interp([low, min(low + share, asked[-1])], asked[1:], pressed[1:])
    bench = _core.BenchParameters(
        pedal=catalogue.pedal(pedal), body=body, controller=controller, supply=supply
    )
    stroke = _core.Stroke(
        time=[0.0, STEP, STEP + 0.001, END], travel=[float(p) for p in (first, first, last, last)]
    )
    return _core.Case(parameters=bench, stroke=stroke)


def _measures(ran: Any, body: Any) -> dict[str, float]:
    result = ran.result
    if result is None or result.outcome.status != "completed":
        return dict.fromkeys(("settling", "overshoot", "duty_noise"), math.nan)
    record, stops = result.record, body.mechanics.stops
    time = np.asarray(record.time)
    angle = np.asarray(record["blade.angle"])
    hold = time >= END - 0.4
    demand = np.mean(np.asarray(record["demand"])[hold])
    goal = stops.closed_angle + demand * (stops.open_angle - stops.closed_angle)
    off = np.degrees(angle - goal)
    outside = np.flatnonzero((np.abs(off) > 1.0) & (time >= STEP))
    settled = math.nan if not outside.size or outside[-1] == len(time) - 1 else time[outside[-1] + 1] - STEP
    overshoot = max(float(off[time >= STEP].max()), 0.0)
    return {
        "settling": float(settled),
        "overshoot": overshoot,
        "duty_noise": float(np.std(np.asarray(record["duty"])[hold])),
    }
