# SPDX-License-Identifier: BSD-3-Clause
"""Samples and distributions, beside SciPy; point i depends on nothing but method, seed, dimension and i."""

import numpy as np
import pytest
from scipy import stats
from scipy.stats import qmc

from twintrack.tolerances import distribution
from twintrack.tolerances.distribution import EDGE, Choice, Normal, Uniform
from twintrack.tolerances.sampling import METHODS, correlate, pearson, points, root


def test_sobol_is_scipys():
    expected = qmc.Sobol(5, scramble=True, rng=np.random.default_rng(7)).random_base2(8)
    assert np.array_equal(points("sobol", 7, 5, 0, 256), expected)


def test_latin_blocks_are_scipys():
    """Hypercube k of a sample is SciPy's, with a stream keyed by seed and k."""
    drawn = points("latin", 7, 3, 0, 40, block=16)
    for k in range(2):
        expected = qmc.LatinHypercube(3, rng=np.random.default_rng([7, k])).random(16)
        assert np.array_equal(drawn[16 * k : 16 * (k + 1)], expected)
        cells = np.sort(np.floor(16 * expected), axis=0)  # one point in each of 16 strips of each axis
        assert np.array_equal(cells, np.tile(np.arange(16.0)[:, None], 3))


@pytest.mark.parametrize("method", METHODS)
def test_a_point_depends_only_on_its_number(method):
    whole = points(method, 3, 4, 0, 200, block=32)
    for first, count in ((0, 1), (0, 33), (31, 2), (100, 100), (199, 1), (64, 64)):
        part = points(method, 3, 4, first, count, block=32)
        assert np.array_equal(part, whole[first : first + count])
    assert not np.array_equal(points(method, 4, 4, 0, 200, block=32), whole)


@pytest.mark.parametrize("method", METHODS)
def test_points_lie_inside(method):
    drawn = points(method, 1, 2, 0, 5000)
    assert drawn.min() >= EDGE
    assert drawn.max() <= 1 - EDGE
    assert points(method, 1, 0, 0, 10).shape == (10, 0)
    assert points(method, 1, 2, 5, 0).shape == (0, 2)


def test_sobol_fills_more_evenly_than_chance():
    """Centred discrepancy by SciPy: a low-discrepancy sequence against independent points."""
    sobol, chance = (qmc.discrepancy(points(method, 1, 4, 0, 1024)) for method in ("sobol", "random"))
    assert sobol < chance / 10


SHARES = np.linspace(0.001, 0.999, 999)


@pytest.mark.parametrize(
    ("ours", "scipys"),
    [
        (Uniform(-2.0, 5.0), stats.uniform(-2.0, 7.0)),
        (Normal(3.0, 0.5), stats.norm(3.0, 0.5)),
        (Normal(3.0, 0.5, 2.8, 4.0), stats.truncnorm(-0.4, 2.0, 3.0, 0.5)),
        (Normal(3.0, 0.5, least=2.0), stats.truncnorm(-2.0, np.inf, 3.0, 0.5)),
    ],
)
def test_distributions_are_scipys(ours, scipys):
    """Inverse cumulative shares beside SciPy's distributions, relative to rounding."""
    assert ours.at(SHARES) == pytest.approx(scipys.ppf(SHARES), rel=1e-12)
    assert distribution.from_plain(distribution.plain(ours)) == ours


def test_reach_is_what_can_come_out():
    assert Normal(0.0, 1.0).reach() == pytest.approx((stats.norm.ppf(2.0**-31), stats.norm.isf(2.0**-31)))
    assert Normal(0.0, 1.0, -1.0).reach() == pytest.approx((-1.0, 6.1), abs=0.05)
    assert Uniform(1.0, 2.0).reach() == (1.0, 2.0)


def test_choice_has_its_weights():
    """Shares of three values from evenly spaced shares: exact up to the spacing."""
    choice = Choice(("a", "b", "c"), (0.5, 0.2, 0.3))
    drawn = choice.at((np.arange(1000) + 0.5) / 1000).tolist()
    assert [drawn.count(value) for value in "abc"] == [500, 200, 300]
    assert Choice((True, False), (1.0, 0.0)).at(np.array([1 - EDGE])).tolist() == [True]


@pytest.mark.parametrize("rank", [-0.9, -0.3, 0.0, 0.5, 0.8, 1.0])
def test_correlated_columns_have_the_rank_correlation(rank):
    """Spearman's correlation, by SciPy, of 4,096 points; its standard error is below 1/√4095 = 0.016."""
    mixing = root(np.array([[1.0, pearson(rank)], [pearson(rank), 1.0]]))
    drawn = correlate(points("sobol", 5, 3, 0, 4096), [0, 2], mixing)
    assert stats.spearmanr(drawn[:, 0], drawn[:, 2]).statistic == pytest.approx(rank, abs=0.03)
    for column in range(3):  # each stays uniform
        assert stats.kstest(drawn[:, column], "uniform").pvalue > 0.01
    alone = correlate(points("sobol", 5, 3, 77, 1), [0, 2], mixing)
    assert np.array_equal(alone[0], drawn[77])


def test_contradicting_correlations_have_no_root():
    """Three variables cannot all be opposed to each other: eigenvalue 1 − 2·0.9 < 0."""
    matrix = np.full((3, 3), pearson(-0.9))
    np.fill_diagonal(matrix, 1.0)
    assert root(matrix) is None
