# SPDX-License-Identifier: BSD-3-Clause
"""How much of a search space was tried.

Each axis is cut into cells (a choice: its values). Covered is the share of all cells of every axis, and of
every pair of axes, in which at least one point lies: simple t-way combination coverage for t = 1, 2
(D. R. Kuhn, R. N. Kacker, Y. Lei, NIST SP 800-142, 2010; definition from memory).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np

from .strategies import Axis, Floats

#: Cells of a continuous axis.
CELLS = 10


def cells(shares: Floats, axes: Sequence[Axis], count: int = CELLS) -> np.ndarray:
    """Number of the cell of each point on each axis, shape (n, axes)."""
    found = np.empty(shares.shape, dtype=np.int64)
    for k, axis in enumerate(axes):
        borders = axis.borders[:-1] if axis.count else np.arange(1, count) / count
        found[:, k] = np.searchsorted(borders, shares[:, k], side="right")
    return found


def covered(shares: Floats, axes: Sequence[Axis], count: int = CELLS) -> tuple[list[float], float]:
    """Share of the cells of each axis, and of the cells of all pairs of axes (1 when there is one axis)."""
    found = cells(shares, axes, count)
    sizes = [axis.count or count for axis in axes]
    single = [len(np.unique(found[:, k])) / sizes[k] for k in range(len(axes))]
    hit = total = 0
    for i, j in itertools.combinations(range(len(axes)), 2):
        total += sizes[i] * sizes[j]
        hit += len(np.unique(found[:, i] * sizes[j] + found[:, j]))
    return single, hit / total if total else 1.0
