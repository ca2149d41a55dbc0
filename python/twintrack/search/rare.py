# SPDX-License-Identifier: BSD-3-Clause
"""The probability of a value below zero, when it is small.

Subset simulation (S.-K. Au, J. L. Beck, Estimation of small failure probabilities in high dimensions by
subset simulation, Probabilistic Engineering Mechanics 16, 2001): in standard normal space,

    P = Π P(y ≤ bᵢ | y ≤ bᵢ₋₁),  b₁ > b₂ > … > b_m = 0

each level bᵢ chosen so that its conditional probability is about p₀. Chains from the lowest points keep to
y ≤ bᵢ₋₁ by conditional sampling with an adaptive step (I. Papaioannou, W. Betz, K. Zwirglmaier, D. Straub,
MCMC algorithms for subset simulation, Probabilistic Engineering Mechanics 41, 2015). All chains step
together, so that values are asked for many points at once. Coefficient of variation by Au & Beck (memory):

    δᵢ² = (1 − Pᵢ)/(N Pᵢ) · (1 + γᵢ),   Σ δᵢ² ≤ δ² ≤ (Σ δᵢ)²

The interval is that of a lognormal estimate, with the mean of both bounds of δ².
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..interval import wilson
from .strategies import Floats, Spent, Values

#: No level below this is begun.
SMALLEST = 1e-10

_FEWEST = 10  #: points from which chains may begin

_FLAT = "the margin is the same for too many draws, so levels cannot be set ('samples' may be too few)"

_ACCEPTED = 0.44  #: share of accepted steps that the step is adapted to
_Z = 1.959963984540054


class Plateau(ValueError):
    """The values do not fall towards the event, so that levels cannot be set."""


@dataclass(frozen=True)
class Estimate:
    """A probability with its 95 % interval, and how many values it cost; ``below``: only an upper bound."""

    probability: float
    low: float
    high: float
    runs: int
    levels: tuple[float, ...] = ()  #: the thresholds
    shares: tuple[float, ...] = ()  #: their conditional probabilities
    variation: float = math.nan  #: coefficient of variation of the estimate
    below: bool = False

    @property
    def brute_force(self) -> float:
        """Runs that independent points would need for the same coefficient of variation."""
        p, v = self.probability, self.variation
        return (1.0 - p) / (p * v * v) if p > 0 and v > 0 else math.nan


def monte_carlo(values: Values, dimension: int, seed: int, runs: int, block: int = 1000) -> Estimate:
    """Independent points, Wilson's interval."""
    from scipy import special

    rng = np.random.default_rng(seed)
    hits = asked = 0
    try:
        while asked < runs:
            some = special.ndtr(rng.standard_normal((min(block, runs - asked), dimension)))
            hits += int((values(some) < 0).sum())
            asked += len(some)
    except Spent:
        pass
    if not asked:
        raise Spent
    low, high = wilson(hits, asked)
    p = hits / asked
    return Estimate(p, low, high, asked, variation=math.sqrt((1 - p) / (p * asked)) if hits else math.nan)


def subset_simulation(
    values: Values, dimension: int, seed: int, samples: int = 1000, share: float = 0.1
) -> Estimate:
    """``samples`` values a level; ``share``: conditional probability of each level, 1/share whole.

    Raises :class:`Plateau` when two levels are the same, and :class:`Spent` when values run out.
    """
    from scipy import special

    rng = np.random.default_rng(seed)
    chains, length = round(samples * share), round(1.0 / share)

    def ask(z: Floats) -> Floats:
        return np.asarray(values(special.ndtr(z)), dtype=float)

    z = rng.standard_normal((samples, dimension))
    y = ask(z)
    asked, step = samples, 0.6
    levels: list[float] = []
    shares: list[float] = []
    terms = [0.0]  # of the coefficient of variation; the first level's points are independent
    while True:
        level, inside = _level(y, chains)
        final = level <= 0.0
        part = float(inside.mean())
        gamma = correlation(inside.reshape(length, -1), part) if levels else 0.0
        terms.append(math.sqrt((1.0 - part) / (samples * max(part, 1e-12)) * (1.0 + gamma)))
        if not final and levels and level >= levels[-1]:
            raise Plateau(
                f"with {asked} runs the margin falls to {level:.3g} of the limit, with probability "
                f"{math.prod(shares):.1e}, and no further"
            )
        levels.append(0.0 if final else level)
        shares.append(part)
        whole = math.prod(shares)
        if final:
            return _estimate(whole, terms, asked, levels, shares)
        if whole < SMALLEST:
            return Estimate(whole, 0.0, whole, asked, tuple(levels), tuple(shares), below=True)
        picked = np.resize(rng.permutation(np.flatnonzero(inside)), chains)
        z, y, step = _chains(ask, rng, (z[picked], y[picked]), level, length, step)
        asked += len(y) - chains


def _level(y: Floats, chains: int) -> tuple[float, np.ndarray]:
    """The next level and which points lie within. Where the quantile is a value that many points share (the
    margin is decided by something that does not scatter), the points below it are taken."""
    level = float(np.sort(y)[chains - 1])
    if level <= 0.0:
        return level, y < 0.0
    inside = y <= level
    if inside.sum() <= 2 * chains:
        return level, inside
    below = y < level
    if below.sum() < _FEWEST:
        raise Plateau(_FLAT)
    return float(y[below].max()), below


def _chains(
    ask: Values,
    rng: np.random.Generator,
    start: tuple[Floats, Floats],
    level: float,
    length: int,
    step: float,
) -> tuple[Floats, Floats, float]:
    """Points of the chains, step by step, all within the level; and the adapted step."""
    z, y = start
    points, found = [z], [y]
    for k in range(1, length):
        proposed = math.sqrt(1.0 - step * step) * z + step * rng.standard_normal(z.shape)
        value = ask(proposed)
        taken = value <= level
        z, y = np.where(taken[:, None], proposed, z), np.where(taken, value, y)
        points.append(z)
        found.append(y)
        step = min(1.0, step * math.exp((float(taken.mean()) - _ACCEPTED) / math.sqrt(k)))
    return np.concatenate(points), np.concatenate(found), step


def correlation(inside: np.ndarray, share: float) -> float:
    """γ of chains, shape (steps, chains): 2 Σ (1 − k/steps) ρ(k) of the indicator."""
    if not 0.0 < share < 1.0:
        return 0.0
    steps, total = len(inside), 0.0
    marks = inside.astype(float)
    for k in range(1, steps):
        rho = ((marks[k:] * marks[:-k]).mean() - share**2) / (share * (1.0 - share))
        total += 2.0 * (1.0 - k / steps) * rho
    return max(total, 0.0)


def _estimate(p: float, terms: list[float], asked: int, levels: list[float], shares: list[float]) -> Estimate:
    square = 0.5 * (sum(t * t for t in terms) + sum(terms) ** 2)
    half = _Z * math.sqrt(math.log1p(square))
    low, high = p * math.exp(-half), min(1.0, p * math.exp(half))
    return Estimate(p, low, high, asked, tuple(levels), tuple(shares), math.sqrt(square))
