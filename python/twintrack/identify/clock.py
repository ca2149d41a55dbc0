# SPDX-License-Identifier: BSD-3-Clause
"""How two recorders' clocks differ, from a signal that both have recorded."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..errors import InputError
from .reading import Floats


class ClockOffset(NamedTuple):
    """t₂ = t₁ + delay + drift (t₁ − start)."""

    delay: float
    """[s] at the start of the common stretch."""
    drift: float
    """Share: 1e-5 is 10 µs a second."""
    start: float
    """[s] on the first clock."""
    spread: float
    """[s] rms by which single windows differ from the straight line."""


def clock_offset(
    time1: Floats, signal1: Floats, time2: Floats, signal2: Floats, *, longest: float = 1.0, windows: int = 12
) -> ClockOffset:
    """Delay and drift of the second recorder against the first, from a signal that both recorded.

    The delay of each of ``windows`` stretches is where the cross-correlation of the two signals' slopes is
    largest, by a parabola through the three highest values; a straight line through the delays gives the
    drift. ``longest`` [s] is the largest delay looked for. Raises :class:`InputError` when the signals have
    nothing in common. Literature: C. H. Knapp, G. C. Carter, IEEE Trans. Acoust. Speech Signal Process.
    24(4), 1976 (from memory).
    """
    period = float(np.median(np.diff(time1)))
    begin, end = max(time1[0], time2[0] - longest), min(time1[-1], time2[-1] + longest)
    if not end - begin > 4.0 * longest:
        raise InputError(f"the two logs have less than {4 * longest:g} s in common")
    grid = np.arange(begin, end, period)
    first = np.gradient(np.interp(grid, time1, signal1))
    second = np.gradient(np.interp(grid, time2, signal2))
    # Coarse: one delay for all; then in each window near it.
    coarse, _ = _delay(first, second, 0, round(longest / period))
    size = len(grid) // windows
    centres, delays = [], []
    for k in range(windows):
        part = slice(k * size, (k + 1) * size)
        width = max(round(0.05 / period), 5)
        found, likeness = _delay(first[part], second[part], round(coarse), width)
        if likeness > 0.6:
            centres.append(grid[part].mean())
            delays.append(found * period)
    if len(delays) < 3:
        raise InputError(
            "the two logs' signals have nothing in common; is it the same signal, and did it move?"
        )
    drift, offset = np.polyfit(np.array(centres) - begin, delays, 1)
    rest = np.array(delays) - offset - drift * (np.array(centres) - begin)
    return ClockOffset(float(offset), float(drift), float(begin), float(rest.std()))


def _delay(first: Floats, second: Floats, around: int, width: int) -> tuple[float, float]:
    """Samples by which the second lags, and the correlation there."""
    from scipy.signal import correlate, correlation_lags

    a, b = first - first.mean(), second - second.mean()
    norm = float(np.linalg.norm(a) * np.linalg.norm(b))
    if norm == 0.0:
        return 0.0, 0.0
    both, lags = correlate(b, a, "full") / norm, correlation_lags(len(b), len(a))
    near = np.flatnonzero(np.abs(lags - around) <= width)
    top = near[np.argmax(both[near])]
    if not 0 < top < len(both) - 1:
        return float(lags[top]), float(both[top])
    left, middle, right = both[top - 1 : top + 2]
    bend = left - 2.0 * middle + right
    return float(lags[top] + (0.5 * (left - right) / bend if bend else 0.0)), float(middle)
