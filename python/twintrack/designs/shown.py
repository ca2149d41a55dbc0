# SPDX-License-Identifier: BSD-3-Clause
"""Runs as curves to zoom: the trace of a case that is run again for it."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..pages.section import Lines, Part
from ..units import RPM

#: Signals of a curve: what it is called, its signal, its scale.
OPENINGS = {
    "foot asks": ("asked", 100.0),
    "set point": ("set_point", 100.0),
    "blade": ("blade.opening", 100.0),
}

#: What :func:`trace_lines` needs of a record.
SIGNALS = [*(signal for signal, _ in OPENINGS.values()), "engine.speed", "engine.idle_set_point"]


def thinned(
    time: np.ndarray, columns: dict[str, np.ndarray], most: int = 700, digits: int = 2
) -> tuple[list[float], dict[str, list[float]]]:
    """Times and values of a trace with at most so many points that a page stays small."""
    rows = slice(None, None, max(1, -(-len(time) // most)))
    return (
        np.round(time[rows], 4).tolist(),
        {name: np.round(values[rows], digits).tolist() for name, values in columns.items()},
    )


def trace_lines(run: Any, title: str) -> list[Part]:
    """Openings of one run, and the engine's speed where there is one, with what it came to."""
    record = run.record
    marks = [(code.confirmed, code.text) for code in run.codes][:6]
    openings = {name: record[signal] * scale for name, (signal, scale) in OPENINGS.items()}
    x, curves = thinned(record.time, openings)
    axis = "time since key-on [s]"
    parts: list[Part] = [Lines(title, x, curves, axis, "opening [% of travel]", marks)]
    if "engine.speed" in record.names:
        names = {"engine": "engine.speed", "set point": "engine.idle_set_point"}
        x, curves = thinned(record.time, {name: record[s] / RPM for name, s in names.items()})
        parts.append(Lines(f"Engine speed: {title}", x, curves, axis, "engine speed [rpm]", marks))
    return [*parts, run.sentence]


def traces(result: Any, why: dict[int, str]) -> list[Part]:
    """Cases by number, run again for their traces; ``why`` each is shown."""
    design, size = result.plan.design, len(result.plan.specs)
    runs = result.runs(list(why), SIGNALS)
    return [
        part
        for number, run in runs.items()
        for part in trace_lines(
            run, f"{why[number]}: case {number}, {design.label(design.specs[number % size])}"
        )
    ]
