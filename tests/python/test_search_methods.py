# SPDX-License-Identifier: BSD-3-Clause
"""Optimisers on test functions of the literature, and small probabilities that are known in closed form.

Test functions: sphere; L. A. Rastrigin 1974; H. H. Rosenbrock, Computer Journal 3, 1960 (least values 0).
"""

import math

import numpy as np
import pytest
from scipy import integrate, special, stats

from twintrack.search.coverage import covered
from twintrack.search.rare import Plateau, monte_carlo, subset_simulation
from twintrack.search.strategies import STRATEGIES, Axis, Spent, least


def sphere(x):
    return ((x - 0.3) ** 2).sum(axis=1)


def rastrigin(x):
    y = 10.24 * (x - 0.5) - 0.7
    return 10.0 * y.shape[1] + (y**2 - 10.0 * np.cos(2.0 * np.pi * y)).sum(axis=1)


def rosenbrock(x):
    y = 4.0 * x - 2.0
    return (100.0 * (y[:, 1:] - y[:, :-1] ** 2) ** 2 + (1.0 - y[:, :-1]) ** 2).sum(axis=1)


CHOICE = Axis(tuple(np.cumsum([0.1, 0.3, 0.05, 0.05, 0.1, 0.2, 0.2]).tolist()))


def mixed(x):
    """One of seven kinds is right, and the rest continuous."""
    kind = np.searchsorted(CHOICE.borders[:-1], x[:, 0], side="right")
    return np.where(kind == 4, 0.0, 1.0) + ((x[:, 1:] - 0.7) ** 2).sum(axis=1)


NAMES = ["sphere", "rastrigin", "rosenbrock", "mixed"]
CASES = [
    (sphere, [Axis()] * 5, 2000, 1e-3),
    (rastrigin, [Axis()] * 3, 5000, 1.1),  # the next valley lies at 0.99
    (rosenbrock, [Axis()] * 3, 5000, 1e-2),
    (mixed, [CHOICE] + [Axis()] * 4, 2000, 1e-3),
]


@pytest.mark.parametrize("method", ["differential evolution", "evolution strategy"])
@pytest.mark.parametrize(
    ("function", "axes", "runs", "goal"), CASES, ids=lambda c: getattr(c, "__name__", "")
)
def test_functions_of_the_literature(function, axes, runs, goal, method):
    asked = []

    def counted(x):
        assert x.shape[1] == len(axes)
        assert ((x >= 0) & (x <= 1)).all()
        asked.append(len(x))
        return function(x)

    found = least(counted, axes, method=method, runs=runs, seed=1)
    assert sum(asked) == found.asked == runs
    assert found.value < goal
    assert function(found.point[None])[0] == found.value
    if function is not rastrigin:
        assert found.value < 0.2 * least(function, axes, method="random", runs=runs, seed=1).value


@pytest.mark.parametrize("method", STRATEGIES)
def test_the_seed_alone_decides(method):
    axes = [CHOICE, Axis(), Axis()]
    one, same, other = (least(mixed, axes, method=method, runs=200, seed=s) for s in (3, 3, 4))
    assert (one.point == same.point).all()
    assert not (one.point == other.point).all()


def test_a_choice_alone_is_a_search_space():
    assert least(mixed_kind, [CHOICE], runs=50, population=8).value == 0.0


def mixed_kind(x):
    return (np.searchsorted(CHOICE.borders[:-1], x[:, 0], side="right") != 4).astype(float)


def test_coverage_by_hand():
    """Two axes of two and four cells: three points lie in both cells, in 3 of 4, in 3 of 8 pairs."""
    axes = [Axis((0.5, 1.0)), Axis()]
    shares = np.array([[0.1, 0.1], [0.9, 0.3], [0.9, 0.9], [0.95, 0.95]])
    assert covered(shares, axes, 4) == ([1.0, 0.75], 3 / 8)


def linear(beta):
    """Limit state β − Σ zᵢ/√n in standard normal variables: P = Φ(−β) whatever n."""
    return lambda u: beta - special.ndtri(u).sum(axis=1) / math.sqrt(u.shape[1])


@pytest.mark.parametrize(("p", "dimension"), [(1e-4, 30), (1e-6, 10), (1e-7, 2)])
def test_linear_limit_state(p, dimension):
    """Analytic. The 95 % interval holds the truth, its width is that of the scatter over seeds."""
    found = [subset_simulation(linear(stats.norm.isf(p)), dimension, seed) for seed in range(30)]
    inside = [one.low <= p <= one.high for one in found]
    assert sum(inside) >= 27
    estimates = np.array([one.probability for one in found])
    assert estimates.mean() == pytest.approx(p, rel=0.3)
    scatter = estimates.std() / p
    assert scatter < 1.6 * np.mean([one.variation for one in found]) < 4.0 * scatter
    assert max(one.runs for one in found) < 10_000
    assert found[0].brute_force > 10 * found[0].runs or p > 1e-5


def four_branches(k):
    """Series system of four branches: P.-H. Waarts, Structural reliability using finite element methods,
    2000; as in B. Echard, N. Gayton, M. Lemaire, AK-MCS, Structural Safety 33, 2011 (k = 6: 4.416e-3, k = 7:
    2.233e-3 by a million runs; from memory)."""

    def values(u):
        x, y = special.ndtri(u).T
        bow, root = 3.0 + 0.1 * (x - y) ** 2, math.sqrt(2.0)
        return np.min(
            [bow - (x + y) / root, bow + (x + y) / root, x - y + k / root, y - x + k / root], axis=0
        )

    return values


def exact_four_branches(k):
    """By quadrature: s = (x + y)/√2 and t = (x − y)/√2 are independent and normal."""

    def safe(t):
        return stats.norm.pdf(t) * (2.0 * stats.norm.cdf(3.0 + 0.2 * t * t) - 1.0)

    return 1.0 - integrate.quad(safe, -k / 2.0, k / 2.0, epsabs=1e-13)[0]


@pytest.mark.parametrize(("k", "published"), [(6, 4.416e-3), (7, 2.233e-3)])
def test_four_branch_series_system(k, published):
    p = exact_four_branches(k)
    assert p == pytest.approx(published, rel=0.02)
    found = [subset_simulation(four_branches(k), 2, seed) for seed in range(20)]
    assert sum(one.low <= p <= one.high for one in found) >= 18
    assert np.mean([one.probability for one in found]) == pytest.approx(p, rel=0.15)


def test_brute_force_and_levels_agree():
    """At 1e-4: 200,000 independent points, and 3,700 in levels."""
    limit = linear(stats.norm.isf(1e-4))
    brute = monte_carlo(limit, 5, 1, 200_000)
    levels = subset_simulation(limit, 5, 1)
    assert levels.low <= brute.probability <= levels.high
    assert brute.low <= 1e-4 <= brute.high


def test_what_cannot_be_levelled_is_said():
    with pytest.raises(Plateau, match="levels cannot be set"):
        subset_simulation(lambda u: np.full(len(u), 3.0), 2, 0)
    never = subset_simulation(lambda u: 1.0 + special.ndtr(special.ndtri(u[:, 0])), 1, 0)
    assert never.below
    assert never.high < 1e-9

    def spent(u):
        raise Spent

    with pytest.raises(Spent):
        subset_simulation(spent, 2, 0)
