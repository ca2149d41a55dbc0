# SPDX-License-Identifier: BSD-3-Clause
"""What follows from the cases: intervals, times, sensitivity, the worst first."""

import math

import numpy as np
import pandas as pd
import pytest
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from twintrack.experiments import sensitivity, statistics
from twintrack.interval import wilson
from twintrack.tolerances.sampling import points


@pytest.mark.parametrize("total", [1, 10, 400, 100_000])
def test_wilson_beside_a_statistics_library(total):
    """statsmodels' interval of the same name."""
    for hits in {0, 1, total // 7, total // 2, total}:
        assert wilson(hits, total) == pytest.approx(
            proportion_confint(hits, total, method="wilson"), abs=1e-12
        )
    assert all(math.isnan(end) for end in wilson(0, 0))


@pytest.mark.parametrize(("probability", "cases"), [(0.03, 2000), (0.2, 500), (0.5, 300)])
def test_interval_holds_the_truth_as_often_as_it_says(probability, cases):
    """A sample with a known probability, 1,000 times over: inside its interval in 95 ± 2 %.

    The shares are binomial (a verdict that comes with a given probability); three standard errors of 1,000
    repetitions are 2.1 %.
    """
    hits = np.random.default_rng(11).binomial(cases, probability, 1000)
    inside = [low <= probability <= high for low, high in (wilson(int(k), cases) for k in hits)]
    assert 0.93 <= np.mean(inside) <= 0.97


@pytest.fixture(scope="module")
def ishigami():
    """Ishigami and Homma's function with a = 7, b = 0.1 (An importance quantification technique, 1990)."""
    x = -np.pi + 2 * np.pi * points("sobol", 1, 3, 0, 4096)
    y = np.sin(x[:, 0]) + 7 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])
    return pd.DataFrame(x, columns=["a", "b", "c"]).assign(y=y)


def test_ishigami_first_order_indices(ishigami):
    """Analytic: V = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2, S₁ = (1 + bπ⁴/5)²/(2V), S₂ = a²/(8V), S₃ = 0."""
    a, b = 7.0, 0.1
    variance = a**2 / 8 + b * np.pi**4 / 5 + b**2 * np.pi**8 / 18 + 0.5
    expected = {"a": 0.5 * (1 + b * np.pi**4 / 5) ** 2 / variance, "b": a**2 / 8 / variance, "c": 0.0}
    assert expected["a"] == pytest.approx(0.3139, abs=1e-4)
    found = sensitivity.indices(ishigami, ["a", "b", "c"], "y")
    for name, value in expected.items():
        assert found.loc[name, "S1"] == pytest.approx(value, abs=0.015)
        assert abs(found.loc[name, "S1"] - value) <= 1.5 * found.loc[name, "S1_conf"]


def test_pawn_sees_what_variance_does_not(ishigami):
    """The third variable explains no variance alone, but moves the distribution more than chance does."""
    found = sensitivity.indices(ishigami.assign(d=points("random", 9, 1, 0, 4096)[:, 0]), list("abcd"), "y")
    assert list(found.index[:2]) == ["b", "a"]
    assert found.loc["c", "PAWN"] > 1.3 * found.loc[sensitivity.CHANCE, "PAWN"]
    assert found.loc["d", "PAWN"] < 1.1 * found.loc[sensitivity.CHANCE, "PAWN"]


def test_names_count_as_parameters(ishigami):
    """A shift by 8 of half the cases explains 16/(16 + V) of the variance (analytic)."""
    pedal, body = np.random.default_rng(2).choice(["long", "short"], (2, 4096))
    table = ishigami.assign(pedal=pedal, body=body, y=ishigami["y"] + 8 * (pedal == "long"), fixed=1.0)
    inputs = sensitivity.factors(table, ["a", "fixed"])
    assert inputs == ["a", "pedal", "body"]
    found = sensitivity.indices(table, inputs, "y")
    assert found.index[0] == "pedal"
    assert found.loc["body", "PAWN"] < 1.2 * found.loc[sensitivity.CHANCE, "PAWN"]
    assert found.loc["pedal", "S1"] == pytest.approx(16 / (16 + ishigami["y"].var()), abs=0.05)


def test_too_few_or_equal_outcomes_say_nothing(ishigami):
    assert sensitivity.indices(ishigami[:99], ["a"], "y") is None
    assert sensitivity.indices(ishigami.assign(y=1.0), ["a"], "y") is None
    assert sensitivity.indices(ishigami.assign(y=np.nan), ["a"], "y") is None
    assert sensitivity.indices(ishigami, [], "y") is None


@pytest.fixture
def table():
    """Seven invented cases."""
    rows = [
        ("not needed", "right", "completed", math.nan, 0.01, 0.0),
        ("missed", "wrong", "completed", math.nan, 0.02, 0.05),
        ("missed", "wrong", "completed", math.nan, 0.02, 0.09),
        ("late", "uncommanded", "completed", 0.3, 0.4, 0.4),
        ("in time", "wrong", "completed", 0.1, 0.0, 0.9),
        ("not needed", "right", "completed", math.nan, 0.0, 0.0),
        ("", "", "refused", math.nan, math.nan, math.nan),
    ]
    names = ["grade", "response", "status", "detected_after_s", "unasked_opening", "error_half"]
    return pd.DataFrame(rows, columns=names).assign(error_rest=0.0, error_full=math.nan)


def test_shares(table):
    shares = statistics.shares(table)
    assert list(shares) == ["late", "missed", "in time", "not needed"]
    assert shares["missed"][:2] == (2, 6)
    assert sum(share.hits for share in shares.values()) == 6  # the refused one counts nowhere
    assert shares["late"].low == pytest.approx(stats.binomtest(1, 6).proportion_ci(method="wilson").low)


def test_detection():
    found = statistics.detection(np.array([0.3, 0.1]), 5)
    assert found.seen[:2] == (2, 5)
    assert (found.median, found.longest) == (pytest.approx(0.2), pytest.approx(0.3))
    assert statistics.detection(np.empty(0), 0) is None
    assert math.isnan(statistics.detection(np.empty(0), 3).median)


def test_worst_first(table):
    assert list(statistics.worst(table).index) == [3, 2, 1, 4, 0, 5]
    assert list(statistics.worst(table, 2).index) == [3, 2]


def test_rules():
    table = pd.DataFrame({"a": ["passed", "failed", "not applicable", ""], "cases": [3, 1, 5, 2]})
    assert statistics.rule_share(table, "a")[:2] == (1, 4)
    assert statistics.rule_share(table[2:], "a") is None


def test_shares_of_counted_cases(table):
    """Counting equal cases first gives the same."""
    counted = table.groupby(list(statistics.NEEDED), as_index=False).size().rename(columns={"size": "cases"})
    assert statistics.shares(counted) == statistics.shares(table)
