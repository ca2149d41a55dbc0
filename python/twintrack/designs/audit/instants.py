# SPDX-License-Identifier: BSD-3-Clause
"""When a fault can come in a drive."""

from __future__ import annotations

from typing import Any

from ... import _core

#: When a fault can come, in the order of the tables, and what is meant.
INSTANTS = {
    "at rest": "foot off, in the middle of the first hold at rest",
    "part load": "in the middle of the first hold between rest and full",
    "full": "in the middle of the first hold at full travel",
    "tip-in": "in the middle of the steepest press",
    "tip-out": "in the middle of the steepest release",
    "crossing": "the blade, following the foot, first passes the position where its springs would leave it",
}

#: The drive of an audit whose file names no stroke [s], [share of travel]: press, press on, let go, again.
#: The last rest is long enough for a return that takes 3 s to be too late.
DRIVE = _core.Stroke(
    time=[0.0, 1.0, 1.5, 3.1, 3.3, 4.9, 5.1, 6.7, 6.9, 7.4, 7.6, 11.2],
    travel=[0.0, 0.0, 0.4, 0.4, 1.0, 1.0, 0.0, 0.0, 0.6, 0.6, 0.0, 0.0],
)


def times(stroke: _core.Stroke, blade: Any, time: Any, default_opening: float) -> dict[str, float]:
    """When each instant of a stroke is [s]; those it does not have are left out.

    ``blade`` over ``time`` [s] is the opening of the healthy run, ``default_opening`` where springs leave it.
    """
    found = foot_times(stroke)
    pressing = next((t for (t, _), (_, b), a in _pieces(stroke) if b > a), None)
    if pressing is not None:
        after = time >= pressing
        crossed = after[1:] & (blade[:-1] < default_opening) & (blade[1:] >= default_opening)
        if crossed.any():
            found["crossing"] = float(time[1:][crossed][0])
    return {name: found[name] for name in INSTANTS if name in found}


def _pieces(stroke: _core.Stroke) -> list[tuple[tuple[float, float], tuple[float, float], float]]:
    """((start, end), (first, last), first) of each straight piece: times [s] and shares of travel."""
    t, y = stroke.time, stroke.travel
    return [((t[i - 1], t[i]), (y[i - 1], y[i]), y[i - 1]) for i in range(1, len(t))]


def foot_times(stroke: _core.Stroke) -> dict[str, float]:
    """The instants that follow from the foot alone."""
    found: dict[str, float] = {}
    steepest = {"tip-in": 0.0, "tip-out": 0.0}
    for (start, end), (first, last), _ in _pieces(stroke):
        middle = round((start + end) / 2, 3)
        if first == last:
            name = "at rest" if first <= 0.02 else "full" if first >= 0.98 else "part load"
            found.setdefault(name, middle)
            continue
        name, slope = "tip-in" if last > first else "tip-out", abs(last - first) / (end - start)
        if slope > steepest[name]:
            steepest[name], found[name] = slope, middle
    return found
