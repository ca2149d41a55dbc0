# SPDX-License-Identifier: BSD-3-Clause
"""Small measures of a run that lessons and their answers share."""

from __future__ import annotations

import math
from typing import Any

import numpy as np


def swing(run: Any, start: float = 3.0) -> float:
    """From the lowest to the highest opening after ``start`` [s]: percent of travel."""
    late = run.record.time >= start
    return float(100.0 * np.ptp(run.record["blade.opening"][late]))


def period(run: Any, start: float = 3.0, band: float = 0.3) -> float:
    """Mean time [s] between swings above the middle by ``band`` [% of travel], after ``start`` [s].

    Only swings that go below the middle by ``band`` in between count, so that noise does not. NaN for fewer
    than two.
    """
    late = run.record.time >= start
    time, opening = run.record.time[late], 100.0 * run.record["blade.opening"][late]
    middle = 0.5 * (opening.max() + opening.min())
    above, rises = False, []
    for when, value in zip(time, opening - middle, strict=True):
        if not above and value > band:
            above = True
            rises.append(when)
        elif above and value < -band:
            above = False
    return float(np.mean(np.diff(rises))) if len(rises) > 1 else math.nan


def error(run: Any, start: float, end: float) -> float:
    """Largest distance between set point and blade from ``start`` to ``end`` [s]: percent of travel."""
    record = run.record
    within = (record.time >= start) & (record.time < end)
    return float(100.0 * np.abs(record["set_point"] - record["blade.opening"])[within].max())


def overshoot(run: Any, step: float) -> float:
    """Overshoot of the opening after a step at ``step`` [s]: percent of the distance it moved in the end."""
    time, opening = run.record.time, run.record["blade.opening"]
    before = opening[(time >= step - 0.2) & (time < step)].mean()
    after = opening[time >= time[-1] - 0.3].mean()
    return float(100.0 * (opening[time >= step].max() - after) / (after - before))
