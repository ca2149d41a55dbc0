# SPDX-License-Identifier: BSD-3-Clause
"""Points in the unit cube: random, Latin hypercube, Sobol; and rank correlation between their columns.

Point i depends only on method, seed, dimension and i, so that a sample can be continued at any time:

* ``sobol``: SciPy's Owen-scrambled sequence (Joe and Kuo's direction numbers); any part of it can be drawn,
  and a longer sample continues the same sequence. Best balanced at powers of two.
* ``latin``: independent hypercubes of ``block`` points each; a longer sample adds further hypercubes. Each
  finished block is stratified, a sample that ends within a block is not quite.
* ``random``: independent points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from .distribution import EDGE

Floats = NDArray[np.float64]

METHODS = ("sobol", "latin", "random")


def points(method: str, seed: int, dimension: int, first: int, count: int, block: int = 256) -> Floats:
    """Points ``first`` … ``first + count - 1``, shape (count, dimension), each coordinate inside (0, 1)."""
    if dimension == 0 or count == 0:
        return np.empty((count, dimension))
    if method == "sobol":
        drawn = _sobol(seed, dimension, first, count)
    elif method == "latin":
        drawn = _blocks(lambda rng: _hypercube(rng, dimension, block), seed, first, count, block)
    else:
        drawn = _blocks(lambda rng: rng.random((block, dimension)), seed, first, count, block)
    return np.clip(drawn, EDGE, 1.0 - EDGE)


def _sobol(seed: int, dimension: int, first: int, count: int) -> Floats:
    from scipy.stats import qmc

    sequence = qmc.Sobol(dimension, scramble=True, rng=np.random.default_rng(seed))
    if first:
        return np.asarray(sequence.fast_forward(first).random(count))
    whole: Floats = sequence.random_base2(max(0, (count - 1).bit_length()))
    return whole[:count]


def _hypercube(rng: np.random.Generator, dimension: int, block: int) -> Floats:
    from scipy.stats import qmc

    return np.asarray(qmc.LatinHypercube(dimension, rng=rng).random(block))


def _blocks(
    draw: Callable[[np.random.Generator], Floats], seed: int, first: int, count: int, block: int
) -> Floats:
    """Rows of blocks that each have their own stream, keyed by seed and number of the block."""
    begin, end = first // block, (first + count - 1) // block
    rows = np.concatenate([draw(np.random.default_rng([seed, k])) for k in range(begin, end + 1)])
    return rows[first - begin * block :][:count]


def pearson(rank: float) -> float:
    """Linear correlation of two normal variables whose rank correlation is ``rank``: r = 2 sin(π ρ / 6).

    K. Pearson, On further methods of determining correlation, 1907 (exact for the bivariate normal; from
    memory).
    """
    return float(2.0 * np.sin(np.pi * rank / 6.0))


def root(matrix: Floats) -> Floats | None:
    """A with A Aᵀ = ``matrix``; ``None`` when the correlations contradict each other (negative
    eigenvalue)."""
    values, vectors = np.linalg.eigh(matrix)
    if values.min() < -1e-9:
        return None
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def correlate(shares: Floats, columns: Sequence[int], mixing: Floats) -> Floats:
    """The shares with ``columns`` made to hang together (Gaussian copula); each stays uniform.

    Sums run in a fixed order, so that a point has the same bits whatever it is drawn together with.
    """
    from scipy import special

    normal = special.ndtri(shares[:, list(columns)])
    mixed = np.zeros_like(normal)
    for k in range(len(columns)):
        mixed += normal[:, k : k + 1] * mixing[:, k]
    result = shares.copy()
    result[:, list(columns)] = np.clip(special.ndtr(mixed), EDGE, 1.0 - EDGE)
    return result
