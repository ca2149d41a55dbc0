# SPDX-License-Identifier: BSD-3-Clause
"""The characteristic of a track from a sweep in both directions: ends or knee, bow, hysteresis, noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import _core
from ..errors import InputError
from .reading import Floats

_KNEE_PAYS = 0.5  # share of the squared error that a knee must leave at most
_PLACES = np.linspace(0.1, 0.9, 81)


@dataclass(frozen=True)
class TrackCurve:
    """Of a track over the position of its assembly; deviations are one σ.

    ratio   output [share of supply] at the ``position`` of the knots [share of travel]
    bow     largest deviation from the knots [share of supply]; 0 with a knee
    hysteresis  half width [share of travel]
    noise   rms of what is left [share of supply]
    """

    position: tuple[float, ...]
    ratio: tuple[float, ...]
    bow: float
    bow_deviation: float
    hysteresis: float
    hysteresis_deviation: float
    noise: float

    def parameters(self, like: _core.TrackParameters) -> _core.TrackParameters:
        """A track like that one, with this curve."""
        return like.replace(
            {"position": list(self.position), "ratio": list(self.ratio), "bow": self.bow,
             "hysteresis": max(self.hysteresis, 0.0), "noise": self.noise}
        )  # fmt: skip


def track_curve(position: Floats, reading: Floats) -> TrackCurve:
    """``position`` [share of travel] from an independent instrument, or by track 1 (whose own bow is then
    unseen), and the ``reading`` [share of supply] of a track, in the order of time, over a slow sweep up and
    down.

        r = r₀ + (r₁ − r₀) p_h + 4 b p_h (1 − p_h),   p_h = p ∓ hysteresis while p rises or falls

    or a straight line with a knee, if that leaves at most half of the squared error. Linear least squares;
    the laws are those of ``sensing/track.hpp``. Raises :class:`InputError` for a sweep over less than half
    of the travel, or in one direction only.
    """
    known = np.isfinite(position) & np.isfinite(reading)
    p, r = np.asarray(position)[known], np.asarray(reading)[known]
    if len(p) < 100 or np.ptp(p) < 0.5:
        raise InputError("a curve needs at least 100 samples over half of the travel")
    way = _direction(p)
    if (way > 0).sum() < 20 or (way < 0).sum() < 20:
        raise InputError("a curve needs a sweep in both directions, to distinguish hysteresis from an offset")
    moving = way != 0
    p, r, way = p[moving], r[moving], way[moving]
    one = np.ones_like(p)
    bowed = _solved(np.column_stack([one, p, 4.0 * p * (1.0 - p), way]), r)
    bends = [_solved(np.column_stack([one, p, np.maximum(p - k, 0.0), way]), r) for k in _PLACES]
    best = int(np.argmin([found[2] for found in bends]))
    knots: tuple[float, ...] = (0.0, 1.0)
    if bends[best][2] < _KNEE_PAYS * bowed[2]:
        (start, slope, more, turn), spread, rest = bends[best]
        knee = float(_PLACES[best])
        knots = (0.0, knee, 1.0)
        ratio = [start, start + slope * knee, start + slope + more * (1.0 - knee)]
        middle = slope + more * float(np.mean(p > knee))
        bow, bow_spread = 0.0, 0.0
    else:
        (start, slope, bow, turn), spread, rest = bowed
        ratio, middle, bow_spread = [start, start + slope], slope, float(spread[2])
    return TrackCurve(
        knots, tuple(float(x) for x in ratio), float(bow), bow_spread, float(-turn / middle),
        float(abs(spread[3] / middle)), float(np.sqrt(rest / (len(p) - 4))),
    )  # fmt: skip


def _direction(p: Floats) -> Floats:
    """+1 where the position rises, −1 where it falls, 0 where it hardly moves, by a smoothed slope."""
    width = max(len(p) // 200, 3)
    smooth = np.convolve(np.pad(p, width, mode="edge"), np.ones(2 * width + 1) / (2 * width + 1), "valid")
    slope = np.gradient(smooth)
    return np.asarray(np.where(np.abs(slope) > 0.1 * np.quantile(np.abs(slope), 0.9), np.sign(slope), 0.0))


def _solved(terms: Floats, aim: Floats) -> tuple[Floats, Floats, float]:
    """Least squares: values, their deviations, sum of squares left."""
    values, *_ = np.linalg.lstsq(terms, aim, rcond=None)
    left = float(np.sum((aim - terms @ values) ** 2))
    inverse = np.linalg.pinv(terms.T @ terms)
    spread = np.sqrt(np.maximum(np.diag(inverse), 0.0) * left / max(len(aim) - terms.shape[1], 1))
    return np.asarray(values, dtype=np.float64), np.asarray(spread, dtype=np.float64), left
