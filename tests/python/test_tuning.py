# SPDX-License-Identifier: BSD-3-Clause
"""Tuning: margins beside python-control, wishes that cannot be met, bad input."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack import _core, linear
from twintrack.command.cli import main
from twintrack.tuning import Wishes, measure
from twintrack.tuning.draws import Scatter
from twintrack.tuning.tune import _cost

EXAMPLE = Path(__file__).parents[2] / "examples" / "pairing.toml"
control = pytest.importorskip("control")


@pytest.fixture(scope="module")
def tuned():
    return tt.tune("set-a", draws=16, generations=0)


def test_margins_against_python_control(tuned):
    """python-control's margins of the same open loop."""
    body = tt.body("set-a")
    system = linear.bench(body, controller=tuned.controller, nominal=body, closed=False)
    gain, phase, modulus, *_ = control.stability_margins(control.ss(*system), method="frd")
    reached = {row.wish: row.nominal for row in tuned.table}
    assert reached["phase_margin"] == pytest.approx(phase, abs=0.3)
    assert reached["gain_margin"] == pytest.approx(max(gain, 1.0 / gain), rel=0.01)
    # Åström, Hägglund, Advanced PID Control, 2006, ch. 4 (from memory): what M_s = 1/modulus promises.
    assert reached["phase_margin"] >= 2.0 * math.degrees(math.asin(0.5 * modulus)) - 0.3
    assert gain >= 0.99 / (1.0 - modulus)


@pytest.mark.parametrize(("factor", "stable"), [(0.5, False), (0.7, False), (1.0, True), (3.0, True)])
def test_stability_against_python_control(factor, stable):
    """A motor weaker or stronger than a controller of much integral was made for; python-control's poles."""
    nominal = tt.body("set-a")
    body = nominal.replace({"mechanics.motor.constant": factor * nominal.mechanics.motor.constant})
    gains = _core.loop_gains(_core.ControllerParameters(), nominal.mechanics)
    controller = _core.ControllerParameters(integral=10.0 * gains["integral"])
    system = linear.bench(body, controller=controller, nominal=nominal, closed=False)
    assert bool(np.abs(control.feedback(control.ss(*system), 1).poles()).max() < 1.0) == stable
    assert (measure.margins(body, controller, 13.5, nominal)["phase_margin"] > 0.0) == stable


def test_gains_that_the_core_refuses_have_no_margin():
    body = tt.body("set-a")
    gains = _core.loop_gains(_core.ControllerParameters(), body.mechanics)
    wild = _core.ControllerParameters(proportional=60.0 * gains["proportional"])
    assert measure.margins(body, wild, 13.5, body) == {"phase_margin": 0.0, "gain_margin": 1.0}


def test_corners_of_supply_and_temperature_are_drawn():
    body = tt.body("set-a")
    scatter = Scatter.checked(body, None, (9.0, 16.0), (-20.0, 120.0))
    around = scatter.draws(body, 64, 1)
    places = [(a.supply, a.body.mechanics.motor.temperature) for a in around]
    assert places[:4] == [(9.0, -20.0), (9.0, 120.0), (16.0, -20.0), (16.0, 120.0)]
    supplies, warm = zip(*places[4:], strict=True)
    assert np.mean(supplies) == pytest.approx(12.5, abs=0.3)
    assert np.mean(warm) == pytest.approx(50.0, abs=6.0)
    resistances = [a.body.mechanics.motor.resistance for a in around]
    assert max(resistances) / body.mechanics.motor.resistance == pytest.approx(1.1, abs=0.01)


def test_the_choice_is_made_at_the_worst_draws():
    """A low, hot supply is slower; the settings that are taken break the wishes least there."""
    wishes = Wishes(settling=0.25)
    ranges = {"supply_range": (10.0, 16.0), "temperature_range": (-20.0, 80.0)}
    found = tt.tune("set-a", draws=20, generations=0, settling=0.25, **ranges)
    finalists = [c for c in found.candidates if c.worst is not None]
    assert len(finalists) >= 10
    taken = next(c for c in finalists if c.controller == found.controller)
    assert _cost(wishes, taken.worst) == min(_cost(wishes, c.worst) for c in finalists)
    rows = {row.wish: row for row in found.table}
    assert rows["settling"].worst > rows["settling"].nominal
    assert "10 V" in rows["settling"].where
    for row in found.table:  # the pilot's draws are the first of all
        assert row.worst == pytest.approx(taken.worst[row.wish])


def test_command(tmp_path):
    run = ["tune", "set-a", "--out", str(tmp_path), "--draws", "8", "--generations", "0"]
    told = CliRunner().invoke(main, [*run, "--settling", "10 ms"])
    assert told.exit_code == 1
    assert "Not met: settling" in told.output
    values = tomllib.loads((tmp_path / "controller.toml").read_text())["bench"]["controller"]
    assert "V/rad" in values["proportional"]
    assert "Trade-off of settling and noise" in (tmp_path / "tune.html").read_text()
    assert len((tmp_path / "wishes.csv").read_text().splitlines()) == 6
    easy = ["--settling", "0.9 s", "--overshoot", "20 deg", "--duty-noise", "0.5", "--phase-margin", "10 deg"]
    easy += ["--gain-margin", "1.2", "--tolerance", "mechanics.inertia=0.2"]
    told = CliRunner().invoke(main, [*run, *easy])
    assert told.exit_code == 0, told.output
    assert "All wishes are met" in told.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--settling", "3 V"], "--settling: "),
        (["--phase-margin", "100 deg"], "phase_margin: must be a number above 0, at most 90"),
        (["--supply-range", "16 V", "9 V"], "supply_range: must be two numbers"),
        (["--temperature-range", "-200 degC", "20 degC"], "temperature_range: must be two numbers"),
        (["--tolerance", "mechanics.inertia"], "must be NAME=VALUE"),
        (["--tolerance", "mechanics.inertia=a"], "must be FIELD=SHARE"),
    ],
)
def test_bad_options(words, says, tmp_path):
    told = CliRunner().invoke(main, ["tune", "set-a", "--out", str(tmp_path), *words])
    assert told.exit_code == 2
    assert says in told.output


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
        return c.worst["settling"], c.worst["duty_noise"]

    assert tuned.front
    for kept in map(pair, tuned.front):
        for s, n in (pair(c) for c in tuned.candidates if c.worst is not None):
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
