# SPDX-License-Identifier: BSD-3-Clause
"""Statistics of an identification against statsmodels, NumPy and analytic results."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
import recoveries

from twintrack.identify import statistics
from twintrack.identify.problem import UNITS, Problem, shortened, value_of


def test_the_weakest_direction_of_tracks_alone_is_that_scaling():
    """Analytic: R, L up and all torques and the inertia down by the same share; NumPy's singular values."""
    true, _ = recoveries.draw(1)
    log = recoveries.log_of(true, true, 1, 2.0, current=False)
    log = dataclasses.replace(log, resistance=0.0)
    others = ("springs.rest_angle", "springs.close_rate", "friction.stribeck_speed")  # no torque; hardly seen
    torques = [n for n in UNITS if n.startswith(("inertia", "springs.", "friction.")) and n not in others]
    names = ("motor.resistance", "motor.inductance", *torques)
    scale = {n: value_of(true.mechanics, n) for n in names}
    slopes = Problem(log, true.mechanics, names, scale, 1e-4, 1.0).jacobian(np.ones(len(names)))
    _, sizes, turned = np.linalg.svd(slopes, full_matrices=False)
    expected = np.array([1.0, 1.0, *(-1.0 for _ in torques)]) / np.sqrt(len(names))
    assert abs(turned[-1] @ expected) > 0.99
    assert sizes[-1] < 1e-3 * sizes[0]
    weakest = statistics.directions(np.linalg.inv(slopes.T @ slopes), np.ones(len(names)), names)[0]
    assert weakest.deviation == pytest.approx(1.0 / sizes[-1], rel=1e-3)
    assert weakest.shares["motor.resistance"] * weakest.shares["inertia"] < 0.0


def test_shortened_problem_is_the_whole_one():
    """Analytic: same cost, gradient and Gauss–Newton matrix as SciPy's robust loss on all rows."""
    draw = np.random.default_rng(2)
    r, j = 2.0 * draw.standard_normal(500), draw.standard_normal((500, 4))
    short, slopes = shortened(r, j)
    z = 1.0 + (r / statistics.ROBUST) ** 2
    assert 0.5 * short @ short == pytest.approx(statistics.ROBUST**2 * np.sum(np.sqrt(z) - 1.0), rel=1e-9)
    np.testing.assert_allclose(slopes.T @ short, j.T @ statistics.influence(r)[0], rtol=1e-8)


def test_residual_tests_against_statsmodels():
    stattools = pytest.importorskip("statsmodels.stats.diagnostic")
    runs = pytest.importorskip("statsmodels.sandbox.stats.runs")
    r = np.random.default_rng(3).standard_normal(800)
    box, run = statistics.residual_tests("angle", r)
    theirs = stattools.acorr_ljungbox(r, lags=[20])
    assert box.value == pytest.approx(float(theirs["lb_stat"].iloc[0]), rel=1e-9)
    assert box.p == pytest.approx(float(theirs["lb_pvalue"].iloc[0]), rel=1e-9)
    z, p = runs.runstest_1samp(r, cutoff="median", correction=False)
    assert (run.value, run.p) == (pytest.approx(z, rel=1e-9), pytest.approx(p, rel=1e-9))


def test_covariance_of_a_linear_problem():
    """Analytic: (JᵀJ)⁻¹ for white normal residuals; larger with positively correlated ones, once lags are
    in."""
    draw = np.random.default_rng(4)
    j = np.column_stack([np.ones(20000), np.linspace(0.0, 1.0, 20000)])
    white = draw.standard_normal(20000)
    exact = np.linalg.inv(j.T @ j)
    np.testing.assert_allclose(statistics.covariance(j, white), exact, rtol=0.05)
    coloured = np.convolve(white, np.ones(9) / 3.0, "same")
    assert statistics.covariance(j, coloured, 25)[0, 0] > 5.0 * statistics.covariance(j, coloured)[0, 0]
