# SPDX-License-Identifier: BSD-3-Clause
"""Causes that no reading tells apart, put together.

Two causes are apart when one reading (or sign) at least separates them by more than its scatter:

    d = max over readings of |m_i − m_j| / √(s_i² + s_j² + 2 meter²) ≥ 2.5,   or a sign's distributions
    overlap
                                                                              by less than a quarter

Complete linkage: all members of a group are alike, pair by pair.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.cluster import hierarchy
from scipy.spatial.distance import squareform

from .dictionary import Dictionary
from .likelihood import FLOOR, Signs
from .readings import Floats, Meter, Reading, meter_deviation, scaled

#: Beyond which two causes are told apart.
APART = 2.5
_SIGN_OVERLAP = 0.25


def distances(known: Dictionary, readings: Sequence[Reading], meter: Meter) -> Floats:
    """The largest separation of each two causes over these readings, causes × causes."""
    count = len(known.causes)
    found = np.zeros((count, count))
    for reading in readings:
        if reading.number:
            np.maximum(found, _of_number(known, reading, meter), out=found)
        else:
            overlap = _overlap(Signs(known, reading.kind))
            np.maximum(found, np.where(overlap < _SIGN_OVERLAP, APART, 0.0), out=found)
    np.fill_diagonal(found, 0.0)
    return found


def _of_number(known: Dictionary, reading: Reading, meter: Meter) -> Floats:
    values = known.numbers(reading)
    draws = scaled(reading, values)
    mean = draws.mean(axis=1)
    variance = draws.var(axis=1, ddof=1) + FLOOR[reading.kind] ** 2
    variance += meter_deviation(reading, np.median(values, axis=1), meter) ** 2
    return np.asarray(np.abs(mean[:, None] - mean[None, :]) / np.sqrt(variance[:, None] + variance[None, :]))


def _overlap(signs: Signs) -> Floats:
    """Σ min(p, q) over the outcomes."""
    shares = np.array([[counts[o] for o in signs.outcomes] for counts in signs.counts], dtype=float)
    shares /= np.maximum(shares.sum(axis=1, keepdims=True), 1.0)
    return np.asarray(np.minimum(shares[:, None, :], shares[None, :, :]).sum(axis=2))


def groups(known: Dictionary, readings: Sequence[Reading], meter: Meter) -> list[list[int]]:
    """Numbers of the causes that belong together, each cause once; in the order of the causes."""
    if len(known.causes) < 2:
        return [list(range(len(known.causes)))]
    apart = distances(known, readings, meter)
    tree = hierarchy.linkage(squareform(apart, checks=False), "complete")
    member = hierarchy.fcluster(tree, APART * (1.0 - 1e-9), "distance")
    found: dict[int, list[int]] = {}
    for cause, group in enumerate(member):
        found.setdefault(int(group), []).append(cause)
    return list(found.values())
