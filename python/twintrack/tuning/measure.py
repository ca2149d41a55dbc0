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

#: [s] The foot steps, comes back, and the run ends. A foot that is quicker than ``FOOT`` is taken for an
#: impossible signal: the rate check would hold the demand for 75 ms.
STEP, BACK, END, FOOT = 0.8, 2.0, 3.2, 0.02
HOLD = 0.6
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
    """Settling [s], overshoot [deg] and duty noise of each case, the worse of a step up and the step back.

    Not a number where the run went wrong.
    """
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
        time=[0.0, STEP, STEP + FOOT, BACK, BACK + FOOT, END],
        travel=[float(p) for p in (first, first, last, last, first, first)],
    )
    return _core.Case(parameters=bench, stroke=stroke)


def _measures(ran: Any, body: Any) -> dict[str, float]:
    result = ran.result
    if result is None or result.outcome.status != "completed":
        return dict.fromkeys(("settling", "overshoot", "duty_noise"), math.nan)
    record, stops = result.record, body.mechanics.stops
    time, duty = np.asarray(record.time), np.asarray(record["duty"])
    angle, demand = np.asarray(record["blade.angle"]), np.asarray(record["demand"])
    settling, over, noise = [], [0.0], []
    for way, begin, end in ((1.0, STEP, BACK), (-1.0, BACK, END)):
        hold = (time >= end - HOLD) & (time < end)
        goal = stops.closed_angle + np.mean(demand[hold]) * (stops.open_angle - stops.closed_angle)
        moved = (time >= begin) & (time < end)
        off, at = way * np.degrees(angle[moved] - goal), time[moved]
        outside = np.flatnonzero(np.abs(off) > 1.0)
        done = outside.size and outside[-1] < len(at) - 1
        settling.append(float(at[outside[-1] + 1] - begin) if done else math.nan)
        over.append(float(off.max()))
        noise.append(float(np.std(duty[hold])))
    return {
        "settling": math.nan if any(map(math.isnan, settling)) else max(settling),
        "overshoot": max(over),
        "duty_noise": max(noise),
    }
