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
from .draws import Around

STEP = 1.0
END = 2.0
#: Frequencies from which margins are interpolated: to 0.03° and 1e-4 of what ten times as many give.
_POINTS = 300
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
    around: Sequence[Around], controllers: Sequence[Any], learned: Any, pedal: str
) -> list[dict[str, float]]:
    """Settling [s], overshoot [deg] and duty noise of each case; not a number where the run went wrong."""
    cases = [_case(a.body, c, a.supply, pedal) for a, c in zip(around, controllers, strict=True)]
    ran = _core.run_batch(cases, [learned] * len(cases), signals=_SIGNALS, threads=2)
    return [_measures(one, a.body) for one, a in zip(ran, around, strict=True)]


def traces(around: Sequence[Around], controller: Any, learned: Any, pedal: str) -> tuple[Any, list[Any]]:
    """Time [s] and the blade's angle [rad] of each, from a tenth of a second before the step to six after."""
    cases = [_case(a.body, controller, a.supply, pedal) for a in around]
    ran = _core.run_batch(cases, [learned] * len(cases), signals=_SIGNALS, threads=2)
    records = [one.result.record for one in ran if one.result is not None]
    time = np.asarray(records[0].time)
    seen = (time >= STEP - 0.1) & (time <= STEP + 0.6)
    return time[seen], [np.asarray(r["blade.angle"])[seen] for r in records]


def margins(body: Any, controller: Any, supply: float, nominal: Any) -> dict[str, float]:
    """Phase margin [deg] and gain margin of the sliding blade at half travel; 0 when the loop is unstable."""
    none = {"phase_margin": 0.0, "gain_margin": 1.0}
    try:
        loop = linear.bench(body, controller=controller, nominal=nominal, supply=supply, closed=False)
    except _core.InvalidParameter:  # gains that no loop bears
        return none
    back = np.linalg.solve(np.eye(1) + loop.D, loop.C)
    if np.abs(np.linalg.eigvals(loop.A - loop.B @ back)).max() >= 1.0:
        return none
    found = linear.margins(loop, _POINTS)
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
