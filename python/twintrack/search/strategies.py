# SPDX-License-Identifier: BSD-3-Clause
"""Optimisers that ask for whole populations: the least value of a function over the unit cube.

``values`` takes points, shape (n, axes), and gives their values, shape (n,); it raises :class:`Spent` when
nothing more may be asked. A strategy goes on until then. Points and order follow from the seed alone.
"""

from __future__ import annotations

import contextlib
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Values = Callable[[Floats], Floats]


class Spent(Exception):
    """The budget is used up."""


@dataclass(frozen=True)
class Axis:
    """One coordinate. ``borders``: upper border of each of several values' shares; empty: a continuum."""

    borders: tuple[float, ...] = ()

    @property
    def count(self) -> int:
        """How many values there are; 0: a continuum."""
        return len(self.borders)

    def middle(self, index: NDArray[np.int64]) -> Floats:
        """A share that stands for each value, by its number."""
        upper = np.asarray(self.borders)
        lower = np.concatenate(([0.0], upper[:-1]))
        return np.asarray(0.5 * (lower + upper)[index])


def random(values: Values, axes: Sequence[Axis], seed: int, population: int) -> None:
    """Independent points, uniform in the cube: what every search has to beat."""
    rng = np.random.default_rng(seed)
    while True:
        values(rng.random((population, len(axes))))


def differential_evolution(values: Values, axes: Sequence[Axis], seed: int, population: int) -> None:
    """SciPy's, with whole generations, each choice as an integer; it starts anew when it has converged.

    R. Storn, K. Price, Differential evolution, J. Global Optimization 11, 1997 (best1bin).
    """
    from scipy import optimize
    from scipy.stats import qmc

    failed: list[Exception] = []

    def asked(x: Floats) -> Floats:
        try:
            return values(_shares(axes, np.atleast_2d(np.asarray(x).T)))
        except Spent:
            raise
        except Exception as error:  # SciPy would tell another story
            failed.append(error)
            raise Spent from error

    bounds = [(0.0, float(axis.count - 1)) if axis.count else (0.0, 1.0) for axis in axes]
    wide = np.array([axis.count or 1 for axis in axes], dtype=float)
    count = max(population, 5)
    rng = np.random.default_rng(seed)
    while True:
        first = qmc.LatinHypercube(len(axes), rng=rng).random(count)
        for k, axis in enumerate(axes):
            if axis.count:
                first[:, k] = np.minimum(np.floor(first[:, k] * wide[k]), wide[k] - 1.0)
        try:
            optimize.differential_evolution(
                asked,
                bounds,
                init=first,
                integrality=[axis.count > 0 for axis in axes],
                maxiter=10_000,
                tol=0.0,
                atol=1e-9,
                polish=False,
                vectorized=True,
                updating="deferred",
                rng=rng,
            )
        except Spent:
            if failed:
                raise failed[0] from None
            raise


def evolution_strategy(values: Values, axes: Sequence[Axis], seed: int, population: int) -> None:
    """Covariance matrix adaptation by the package ``cma``, each choice as an integer with a margin; it starts
    anew from a random point when it has converged.

    N. Hansen, A. Ostermeier, Evolutionary Computation 9, 2001; R. Hamano et al., CMA-ES with margin,
    GECCO 2022.
    """
    import cma

    wide = np.array([axis.count or 1 for axis in axes], dtype=float)
    low = np.array([-0.5 if axis.count else 0.0 for axis in axes])
    rng = np.random.default_rng(seed)
    options = {
        "bounds": [low.tolist(), (low + wide).tolist()],
        "CMA_stds": wide.tolist(),
        "integer_variables": [k for k, axis in enumerate(axes) if axis.count],
        "popsize": max(population, 4),
        "verbose": -9,
        "verb_log": 0,
    }
    while True:
        start = low + wide * rng.uniform(0.2, 0.8, len(axes))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of one axis, and of what it cannot draw
            one = cma.CMAEvolutionStrategy(start, 0.3, options | {"seed": int(rng.integers(1, 2**31))})
            while not one.stop():
                asked = one.ask()
                one.tell(asked, values(_shares(axes, np.asarray(asked))).tolist())


def _shares(axes: Sequence[Axis], points: Floats) -> Floats:
    """Points of the cube from points whose choices are numbers 0, 1, …"""
    found: Floats = np.array(points, dtype=float)
    for k, axis in enumerate(axes):
        if axis.count:
            index = np.clip(np.rint(found[:, k]), 0, axis.count - 1).astype(np.int64)
            found[:, k] = axis.middle(index)
    return found.clip(0.0, 1.0)


STRATEGIES: dict[str, Callable[[Values, Sequence[Axis], int, int], None]] = {
    "differential evolution": differential_evolution,
    "evolution strategy": evolution_strategy,
    "random": random,
}


@dataclass(frozen=True)
class Least:
    """Where the least value was found, and after how many asked ones."""

    point: Floats
    value: float
    after: int
    asked: int


def least(
    function: Values,
    axes: Sequence[Axis],
    *,
    method: str = "differential evolution",
    runs: int = 2000,
    seed: int = 0,
    population: int = 64,
) -> Least:
    """The least value of a function within so many ``runs``: the same search, without a bench."""
    points: list[Floats] = []
    found: list[Floats] = []

    def values(asked: Floats) -> Floats:
        left = runs - sum(map(len, found))
        some = asked[:left]
        if len(some):
            points.append(some)
            found.append(np.asarray(function(some), dtype=float))
        if len(some) < len(asked) or left == len(asked):
            raise Spent
        return found[-1]

    with contextlib.suppress(Spent):
        STRATEGIES[method](values, axes, seed, population)
    every = np.concatenate(found)
    best = int(np.argmin(every))
    return Least(np.concatenate(points)[best], float(every[best]), best + 1, len(every))
