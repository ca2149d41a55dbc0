# SPDX-License-Identifier: BSD-3-Clause
"""Curves of tracks from sweeps whose truth is put in; the law is that of sensing/track.hpp, once more."""

from __future__ import annotations

import numpy as np
import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.identify import track_curve

NOISE = 2e-4


def sweep(knots, ratio, bow, hysteresis, seed=1, count=2000):
    p = np.concatenate([np.linspace(0.0, 1.0, count), np.linspace(1.0, 0.0, count)])
    played = np.empty_like(p)
    behind = p[0]
    for k, x in enumerate(p):  # a play of ± hysteresis
        behind = min(max(behind, x - hysteresis), x + hysteresis)
        played[k] = behind
    r = np.interp(played, knots, ratio) + 4.0 * bow * played * (1.0 - played)
    return p, r + NOISE * np.random.default_rng(seed).standard_normal(len(p))


def test_bow_and_hysteresis():
    """Coverage of two standard deviations over 15 sweeps; the truth is put in."""
    inside = 0
    for seed in range(15):
        found = track_curve(*sweep([0, 1], [0.12, 0.88], 0.004, 0.002, seed))
        assert found.position == (0.0, 1.0)
        assert found.ratio == pytest.approx((0.12, 0.88), abs=1e-4)
        assert found.noise == pytest.approx(NOISE, rel=0.1)
        assert found.bow == pytest.approx(0.004, abs=5e-5)
        assert found.hysteresis == pytest.approx(0.002, abs=5e-5)
        inside += abs(found.bow - 0.004) < 2.0 * found.bow_deviation + 1e-5
    assert inside >= 11


def test_falling_track_and_knee():
    falling = track_curve(*sweep([0, 1], [0.9, 0.14], -0.003, 0.003))
    assert falling.hysteresis == pytest.approx(0.003, abs=1e-4)
    assert falling.bow == pytest.approx(-0.003, abs=1e-4)
    knee = track_curve(*sweep([0, 0.6, 1], [0.1, 0.75, 0.92], 0.0, 0.0005))
    assert knee.position[1] == pytest.approx(0.6, abs=0.011)
    assert knee.ratio == pytest.approx((0.1, 0.75, 0.92), abs=4e-3)


def test_parameters_of_a_part():
    like = tt.body("half-slope-six").tracks[0]
    made = track_curve(*sweep([0, 1], [0.2, 0.8], 0.002, 0.001)).parameters(like)
    assert list(made.ratio) == pytest.approx([0.2, 0.8], abs=1e-4)
    assert made.kind == like.kind


def test_errors_are_told():
    p, r = sweep([0, 1], [0.2, 0.8], 0.0, 0.0)
    with pytest.raises(InputError, match="both directions"):
        track_curve(p[:2000], r[:2000])
    with pytest.raises(InputError, match="half of the travel"):
        track_curve(0.3 * p, r)
