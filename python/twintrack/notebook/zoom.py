# SPDX-License-Identifier: BSD-3-Clause
"""The record of a run or a learn as curves that zoom together, in a frame for notebooks."""

from __future__ import annotations

from html import escape
from typing import Any, NamedTuple

import numpy as np

from .. import _core
from ..designs.shown import thinned
from ..pages.page import zoom
from ..pages.section import Lines
from ..units import RPM

#: Points of a curve: a page of a megabyte would make a notebook slow.
MOST_POINTS = 2500
_LEGEND = 27

#: Axis → height, decimals, curves: name → (signal, scale).
_CHARTS: dict[str, tuple[int, int, dict[str, tuple[str, float]]]] = {
    "opening [%]": (
        240,
        2,
        {
            "foot asks": ("asked", 100.0),
            "set point": ("set_point", 100.0),
            "blade": ("blade.opening", 100.0),
        },
    ),
    "pedal [V]": (150, 3, {f"track {k}": (f"pedal.track{k}", 1.0) for k in (1, 2, 3)}),
    "throttle [V]": (150, 3, {f"track {k}": (f"throttle.track{k}", 1.0) for k in (1, 2, 3)}),
    "duty [%]": (130, 2, {"duty": ("duty", 100.0)}),
    "current [A]": (130, 3, {"current": ("motor.current", 1.0)}),
    "speed [rpm]": (
        150,
        0,
        {"engine": ("engine.speed", 1 / RPM), "idle set point": ("engine.idle_set_point", 1 / RPM)},
    ),
}


class Frame(NamedTuple):
    """A page in a frame of its own, so that its styles and scripts touch nothing else."""

    page: str
    high: int

    @property
    def html(self) -> str:
        return (
            f'<iframe srcdoc="{escape(self.page, quote=True)}" title="curves that zoom" '
            f'style="width:100%;height:{self.high}px;border:0;background:#fff" '
            'sandbox="allow-scripts"></iframe>'
        )


def charts(record: _core.Record, marks: list[tuple[float, str]]) -> list[Lines]:
    """One chart a quantity; signals that are not there, or zero throughout, are left out."""
    found: list[Lines] = []
    for axis, (high, digits, curves) in _CHARTS.items():
        there = {
            name: record[signal] * scale
            for name, (signal, scale) in curves.items()
            if signal in record.names and (len(curves) == 1 or np.any(record[signal]))
        }
        if there:
            x, values = thinned(record.time, there, MOST_POINTS, digits)
            shown = marks if not found else [(when, "") for when, _ in marks]
            label = "time since key-on [s]"
            found.append(Lines("", x, values, label, axis, shown, together=True, high=high))
    return found


def zoom_page(run: Any) -> Frame:
    """The curves of a run (codes marked) or of a learn (steps marked)."""
    steps = getattr(run, "state", None)
    if steps is None:
        marks = [(code.confirmed, code.code) for code in run.codes]
    else:
        changes = [k for k in range(1, len(steps)) if steps[k] != steps[k - 1]]
        marks = [(float(run.record.time[k]), steps[k]) for k in changes]
    return page_of(run.record, marks, run.title)


def page_of(record: _core.Record, marks: list[tuple[float, str]], title: str) -> Frame:
    """The curves of a record with its marks, and the height they need."""
    made = charts(record, marks)
    return Frame(
        zoom(f"{title}: drag over the curves to zoom", made), sum(c.high + _LEGEND for c in made) + 44
    )
