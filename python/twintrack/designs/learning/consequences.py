# SPDX-License-Identifier: BSD-3-Clause
"""What an accepted range learn did: position errors, ends, demand, stops, correlation margin.

Shares are of the true travel. ``travel`` is the record of :func:`twintrack.learned_travel`: what the
controller believes with pedal and blade held still at each position.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ... import _core

Array = NDArray[np.float64]

#: What the record of a drive must hold.
SIGNALS = ("asked", "blade.opening", "blade.speed", "duty", "motor.current")

#: What stands in the columns of a learn that was refused.
EMPTY: dict[str, Any] = {
    name: math.nan
    for name in (
        *(f"{a}_{what}" for a in ("pedal", "blade") for what in ("error", "error_at", "zero_at", "full_at")),
        *("pedal_margin_left", "throttle_margin_left"),
        *(f"{what}_{place}" for place in ("rest", "half", "full") for what in ("asked", "reached")),
        *(
            f"{stop}_{what}"
            for stop in ("closed", "open")
            for what in ("impact_rad_s", "held_s", "current_rms_a", "current_mean_a")
        ),
    )
} | {"closed_hot": False, "open_hot": False}

_RULE_LIMIT = 0.10  # share of travel that tracks may differ by: T.4.2.4, IC.4.4.3
_HOLD = 1.0  # s that a foot must keep still for the place reached to count; as the judge of a case
_JUDGED = 0.3  # s at the end of it
_TOUCH = 0.001  # share of travel that counts as on the stop
_HOT_TIME = 1.0  # s
_HOT_SHARE = 0.5  # of the stall current: a quarter of the heat (this bench's own)


def columns(
    case: _core.Case, verdicts: Sequence[_core.Verdict], travel: _core.Record, record: _core.Record
) -> dict[str, Any]:
    """All columns of one drive after one accepted learn; ``verdicts`` of the rules on the learned range."""
    parameters = case.parameters
    stall = parameters.supply / parameters.body.mechanics.motor.resistance
    return (
        _errors(travel, "pedal", "pedal.position", "pedal.travel")
        | _errors(travel, "blade", "opening", "blade.opening")
        | _margins(parameters, verdicts)
        | _reached(case.stroke, record)
        | _stop(record, "closed", record["blade.opening"] <= _TOUCH, -1.0, stall)
        | _stop(record, "open", record["blade.opening"] >= 1.0 - _TOUCH, 1.0, stall)
    )


def error(travel: _core.Record, believed: str, true: str) -> Array:
    """Believed less true position [share of travel] over the true one."""
    return np.asarray(travel[believed]) - np.asarray(travel[true])


def _errors(travel: _core.Record, name: str, believed: str, true: str) -> dict[str, float]:
    off = error(travel, believed, true)
    worst = int(np.argmax(np.abs(off)))
    return {
        f"{name}_error": float(off[worst]),
        f"{name}_error_at": float(travel[true][worst]),
        f"{name}_zero_at": where(travel[true], travel[believed], 0.0),
        f"{name}_full_at": where(travel[true], travel[believed], 1.0),
    }


def where(true: Array, believed: Array, level: float) -> float:
    """The true position at which ``level`` is believed; beyond the travel in a straight line, so that a value
    below 0 or above 1 is one that never comes. NaN when the belief does not change there."""
    above = believed >= level
    change = np.flatnonzero(above[1:] != above[:-1])
    i = int(change[0]) if len(change) else 0 if abs(believed[0] - level) <= abs(believed[-1] - level) else -2
    step = 1 if len(change) else 5  # an end's slope over 5 % of travel
    a, b = (i, i + 1) if len(change) else (0, step) if i == 0 else (-1 - step, -1)
    rise = believed[b] - believed[a]
    if abs(rise) < 1e-9:
        return math.nan
    return float(true[a] + (level - believed[a]) * (true[b] - true[a]) / rise)


def _margins(parameters: _core.BenchParameters, verdicts: Sequence[_core.Verdict]) -> dict[str, float]:
    """What is left of the correlation check's limit where the tracks agree least: the rules' margin, moved
    from their limit to the monitor's."""
    margin = {verdict.rule: verdict.margin for verdict in verdicts}
    moved = parameters.monitor.correlation_limit - _RULE_LIMIT
    return {
        f"{name}_margin_left": float(margin[f"learned {name} tracks agree"] or math.nan) + moved
        for name in ("pedal", "throttle")
    }


def holds(stroke: _core.Stroke) -> list[tuple[float, float, float]]:
    """(from, to, travel) of each hold of at least a second."""
    time, travel = stroke.time, stroke.travel
    found: list[tuple[float, float, float]] = []
    for i in range(1, len(time)):
        if travel[i] != travel[i - 1]:
            continue
        if found and found[-1][1] == time[i - 1]:
            found[-1] = (found[-1][0], time[i], travel[i])
        else:
            found.append((time[i - 1], time[i], travel[i]))
    return [hold for hold in found if hold[1] - hold[0] >= _HOLD]


def _reached(stroke: _core.Stroke, record: _core.Record) -> dict[str, float]:
    """Asked and reached at rest, in between and at full; of several holds the one that is furthest off."""
    found = {name: (math.nan, math.nan) for name in ("rest", "half", "full")}
    for _, to, travel in holds(stroke):
        rows = (record.time > to - _JUDGED) & (record.time <= to + 1e-9)
        if not rows.any():
            continue
        name = "rest" if travel < 0.02 else "full" if travel > 0.98 else "half"
        asked, blade = (float(np.mean(record[s][rows])) for s in ("asked", "blade.opening"))
        if not abs(blade - asked) <= abs(found[name][1] - found[name][0]):
            found[name] = (asked, blade)
    return {
        key: value
        for name, (asked, blade) in found.items()
        for key, value in ((f"asked_{name}", asked), (f"reached_{name}", blade))
    }


def _stop(
    record: _core.Record, name: str, touching: NDArray[np.bool_], toward: float, stall: float
) -> dict[str, Any]:
    """How hard the blade comes onto a stop, and how long and with what current the motor pushes it there."""
    pushed = touching & (np.asarray(record["duty"]) * toward > 0.0)
    came = np.flatnonzero(touching[1:] & ~touching[:-1])
    speed = np.abs(np.asarray(record["blade.speed"]))
    period = float(record.time[1] - record.time[0]) if len(record.time) > 1 else 0.0
    current = np.asarray(record["motor.current"])[pushed]
    seconds = period * int(pushed.sum())
    rms = float(np.sqrt(np.mean(current**2))) if len(current) else 0.0
    return {
        f"{name}_impact_rad_s": float(speed[came].max()) if len(came) else 0.0,
        f"{name}_held_s": seconds,
        f"{name}_current_rms_a": rms,
        f"{name}_current_mean_a": float(np.mean(np.abs(current))) if len(current) else 0.0,
        f"{name}_hot": seconds > _HOT_TIME and rms > _HOT_SHARE * stall,
    }
