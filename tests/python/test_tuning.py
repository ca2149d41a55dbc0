# SPDX-License-Identifier: BSD-3-Clause
"""Tuning: margins beside python-control, wishes that cannot be met, bad input."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

import twintrack as tt
from twintrack import linear
from twintrack.tuning import Wishes

EXAMPLE = Path(__file__).parents[2] / "examples" / "pairing.toml"
control = pytest.importorskip("control")


@pytest.fixture(scope="module")
def tuned():
    return tt.tune("set-a", draws=16, generations=0)


def test_phase_margin_against_python_control(tuned):
    """python-control's margins of the same open loop."""
    body = tt.body("set-a")
    system = linear.bench(body, controller=tuned.controller, nominal=body, closed=False)
    _, phase, *_ = control.stability_margins(control.ss(*system), method="frd")
    row = next(r for r in tuned.table if r.wish == "phase_margin")
    assert row.nominal == pytest.approx(phase, abs=1.0)


def test_each_row_says_what_it_is(tuned):
    wishes = Wishes()
    for row in tuned.table:
        assert row.met == all(wishes.excess(row.wish, v) == 0.0 for v in (row.nominal, row.worst))
        said = next(line for line in str(tuned).splitlines() if line.startswith(row.wish))
        assert said.endswith("NOT MET") != row.met


def test_the_table_goes_into_a_study(tuned, tmp_path):
    text = EXAMPLE.read_text(encoding="utf-8")
    assert "[bench.controller]" not in text
    path = tmp_path / "study.toml"
    path.write_text(text + "\n" + tuned.toml, encoding="utf-8")
    tt.Study.load(path)
    values = tomllib.loads(tuned.toml)["bench"]["controller"]
    assert tt.quantity(values["proportional"], "V/rad") == tuned.controller.proportional


def test_a_wish_that_cannot_be_met_is_said():
    found = tt.tune("set-a", draws=0, generations=0, settling=0.01)
    assert not found.met
    assert not next(r for r in found.table if r.wish == "settling").met


def test_front_is_not_beaten(tuned):
    def pair(c):
        return c.values["settling"], c.values["duty_noise"]

    assert tuned.front
    for kept in map(pair, tuned.front):
        for s, n in map(pair, tuned.candidates):
            assert not (s <= kept[0] and n <= kept[1] and (s, n) != kept)


def test_same_seed_gives_the_same_table(tuned):
    assert tt.tune("set-a", draws=16, generations=0).table == tuned.table


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"settlin": 0.1}, "no wish 'settlin'; did you mean 'settling'"),
        ({"settling": -1.0}, "settling: must be a number above 0"),
        ({"phase_margin": float("nan")}, "phase_margin: must be a number"),
        ({"draws": -1}, "draws: must be a whole number"),
        ({"tolerances": {"mechanics.nothing": 0.1}}, "there is no field 'nothing'"),
        ({"tolerances": {"mechanics.inertia": 1.5}}, "tolerances: mechanics.inertia"),
    ],
)
def test_bad_input(options, says):
    with pytest.raises(tt.InputError, match=says):
        tt.tune("set-a", **options)
