# SPDX-License-Identifier: BSD-3-Clause
"""Wire plans: every wire once, volts of the net, a safe order, refusals with their reason.

Fuses, twist, shield and the order of the measurements are common practice, no source; copper is ISO 6722-1's.
"""

import math
import xml.etree.ElementTree as ET

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.plans.expected import Expected

PAIRS = [("half-slope-low", "opposed-six"), ("three-track", "three-track-split"), ("opposed", "knee-eight")]


def bench(pedal="half-slope-low", body="opposed-six", **wiring):
    return tt.Bench(pedal=pedal, body=body, **({"wiring": wiring} if wiring else {}))


@pytest.fixture(scope="module")
def plan():
    return bench().wiring.plan()


def pin_out(*changes, without=(), pedal="half-slope-low", body="opposed-six"):
    joints = {j.terminal: j.pin for j in tt.correct_pin_out(tt.pedal(pedal), tt.body(body))} | dict(changes)
    return [{"terminal": t, "pin": p} for t, p in joints.items() if t not in without]


@pytest.mark.parametrize(("pedal", "body"), PAIRS)
def test_every_wire_once_and_the_motor_last(pedal, body):
    table = bench(pedal, body).wiring.plan().table()
    terminals = [t for _, t in tt.pair_terminals(tt.pedal(pedal), tt.body(body))]
    assert sorted(table["terminal"]) == sorted([*terminals, "controller supply", "controller ground"])
    assert list(table["function"][:2]) == ["ground", "supply"]
    assert list(table["function"][-2:]) == ["motor", "motor"]
    assert table.index.is_unique


def test_copper_cold_and_hot(plan):
    """ISO 6722-1, 0.5 mm²: 37.1 mΩ/m at most (from memory); IEC 60028: 0.393 % per kelvin."""
    wire = plan.bench.wiring.harness.sensor_wire
    joints = wire.contacts * wire.contact_resistance
    row = plan.table().set_index("terminal").loc["pedal signal 1"]
    for name, celsius in (("ohms_cold", -40.0), ("ohms_20", 20.0), ("ohms_hot", 105.0)):
        copper = wire.length * 0.0371 * (1.0 + 0.00393 * (celsius - 20.0))
        assert row[name] == pytest.approx(copper + joints, rel=1e-9)


def test_drops_follow_from_the_currents(plan):
    """Two Hall tracks of 625 Ω take 8 mA each from 5 V, so a shared reference carries the sum (Ohm)."""
    table = plan.table().set_index("terminal")
    for terminal, tracks in (("pedal reference 1", 1), ("pedal return 1", 1)):
        expected = tracks * 5.0 / 625.0 * table.loc[terminal, "ohms_hot"]
        assert abs(table.loc[terminal, "drop_hot_v"]) == pytest.approx(expected, rel=0.01)
    stall = table.loc["motor +", "current_a"]
    harness, motor, bridge = plan.bench.wiring.harness, plan.bench.body.mechanics.motor, plan.bench.bridge
    ohms = motor.resistance + 2 * harness.motor_wire.resistance + 2 * bridge.switch_resistance
    ohms += harness.supply_wire.resistance + harness.ground_wire.resistance + bridge.supply_resistance
    assert stall == pytest.approx(min(bridge.current_limit, plan.bench.supply / ohms))


def test_volts_are_what_the_learn_sees(plan):
    """The converter of a run and the meter read the same net."""
    volts = plan.volts().set_index(["pin", "stand"])["nominal_v"]
    held = tt.Bench(pedal="half-slope-low", body="opposed-six").run(
        tt.Stroke(time=[0, 1, 2, 3], travel=[0, 0, 1, 1]), controller=None
    )
    for k, pin in enumerate(("pedal signal 1", "pedal signal 2")):
        seen = held.record[f"pedal.track{k + 1}"]
        assert seen[500] == pytest.approx(volts[pin, "at rest"], abs=0.01)
        assert seen[-1] == pytest.approx(volts[pin, "foot full"], abs=0.01)


def test_healthy_pairs_lie_within_what_is_expected(plan):
    """200 draws that the ranges have not seen: hardly one pin outside."""
    from twintrack.tolerances.usual import drawn, usual

    expected, points = Expected(plan.bench), tt.meter_points(plan.bench)
    outside = total = 0
    for one in drawn(plan.bench, usual(plan.bench), 200, seed=77):
        volts = tt.standing_volts(one, stands=[(0.5, "released")])[0]
        volts = volts - volts[points.index("controller ground")]
        for pin in ("pin pedal signal 1", "pin throttle reference 1", "pin throttle signal 2"):
            range_ = expected.at(pin, "foot half")
            outside += not range_.least <= volts[points.index(pin)] <= range_.most
            total += 1
    assert outside <= 0.01 * total


def test_the_order_cannot_hurt(plan):
    steps = plan.checklist()
    off = steps["state"].str.startswith("key off, battery's minus off, all")
    assert off.iloc[: off.sum()].all(), "unplugged comes before powered"
    powered = steps[steps["state"].str.contains("key on")]
    assert powered["state"].iloc[:-1].str.contains("motor leads").all(), "off until the last step"
    first = [m for m in powered["measure"] if "unplugged" not in m][:4]
    assert ["supply" in first[0], *("return" in m for m in first[1:])] == [True] * 4
    by_hand = steps[steps["measure"].str.contains("held")]
    assert by_hand["caution"].str.contains("only while the motor's leads are off").all()
    assert "hands and tools out" in steps["caution"].iloc[-2]


@pytest.mark.parametrize(
    ("joints", "reason"),
    [
        (pin_out(without=["pedal signal 2"]), "pedal signal 2: is left out .*no partner"),
        (pin_out(("pedal signal 1", "pedal reference 1")), "pin pedal reference 1: joins .*must be apart"),
        (pin_out(("motor +", "throttle signal 1")), "another function"),
        (pin_out(("motor +", "motor -"), ("motor -", "motor +")), "reversed leads"),
        (pin_out(("pedal signal 1", "throttle signal 1")), "the other assembly's"),
    ],
)
def test_refused_with_a_reason(joints, reason):
    with pytest.warns(UserWarning, match="pin-out"):
        wired = bench(pin_out=joints)
    with pytest.raises(InputError, match=reason):
        wired.wiring.plan()
    assert wired.wiring.plan(refuse=False).refusals


def test_remarked_on_with_a_reason():
    joints = pin_out(("pedal return 2", "pedal return 1"))
    with pytest.warns(UserWarning, match="pin-out"):
        plan = bench(pin_out=joints).wiring.plan()
    assert any("takes all these tracks at once" in text for text in plan.remarks)
    assert any("pin pedal return 2: has no wire" in text for text in plan.remarks)
    exchanged = pin_out(("pedal signal 1", "pedal signal 2"), ("pedal signal 2", "pedal signal 1"))
    with pytest.warns(UserWarning, match="pin-out"):
        assert any("only if the learn" in text for text in bench(pin_out=exchanged).wiring.plan().remarks)


def test_limits():
    thin = bench(harness={"supply_wire": {"section_mm2": 0.35}})
    with pytest.raises(InputError, match="no fuse carries the stalled motor"):
        thin.wiring.plan()
    weak = bench(harness={"controller": {"source_limit": 0.004}})
    with pytest.raises(InputError, match="its regulator limits at 4 mA"):
        weak.wiring.plan()
    long = bench(harness={"sensor_wire": {"length": 90.0}})
    assert any("moves readings" in text for text in long.wiring.plan().remarks)
    shielded = bench(harness={"sensor_wire": {"shielded": True}}).wiring.plan()
    assert not any("without a shield" in text for text in shielded.remarks)
    assert shielded.table()["shield"].str.contains("controller's end only").sum() == 10
    with pytest.raises(InputError, match="needs the wiring 'harness'"):
        bench(kind="ideal").wiring.plan()


def test_a_pin_out_of_another_part_is_refused():
    joints = pin_out(pedal="three-track")
    with pytest.raises(tt.InvalidParameter, match="there is no 'pedal reference 3'"):
        bench(pin_out=joints)


def test_drawing_fits_one_page(plan):
    root = ET.fromstring(plan.svg())
    assert [round(float(root.get(side).removesuffix("pt")) * 25.4 / 72) for side in ("width", "height")] == [
        297,
        210,
    ]
    text = plan.svg()
    assert text == plan.svg()
    assert "<!-- Wire plan -->" in text
    assert all(f"{label}  " in text for label in plan.table().index)


STUDY = 'pedals = ["half-slope-low", "knee"]\nbodies = ["opposed-six"]\n'


def test_command(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY)
    out = tmp_path / "plan"
    told = CliRunner().invoke(
        main, ["plan", str(tmp_path / "study.toml"), "--out", str(out), "--pedal", "knee"]
    )
    assert told.exit_code == 0, told.output
    volts = pd.read_csv(out / "volts.csv")
    assert set(volts["stand"]) >= {"at rest", "foot half", "foot full", "blade held open"}
    assert (volts["cold_least_v"] <= volts["nominal_v"]).all()
    labels = pd.read_csv(out / "labels.csv")
    assert len(labels) == 2 * len(pd.read_csv(out / "wires.csv"))
    page = (out / "plan.html").read_text()
    assert "knee" in page
    assert "hands and tools out of the bore" in page
    assert np.isfinite(pd.read_csv(out / "wires.csv")["ohms_hot"]).all()
    wrong = CliRunner().invoke(main, ["plan", str(tmp_path / "study.toml"), "--pedal", "kneee"])
    assert wrong.exit_code == 2
    assert "did you mean 'knee'" in wrong.output


def test_refused_on_the_command_line(tmp_path):
    text = STUDY + '[[bench.wiring.pin_out]]\nterminal = "motor +"\npin = "motor +"\n'
    (tmp_path / "study.toml").write_text(text)
    told = CliRunner().invoke(main, ["plan", str(tmp_path / "study.toml"), "--out", str(tmp_path / "plan")])
    assert told.exit_code == 1
    assert "REFUSED: motor -: is left out" in told.output


def test_unplugged_ohms(plan):
    """Two terminals apart hang on 1 GΩ of insulation each; a wire is its own resistance."""
    terminals = [t for _, t in tt.pair_terminals(plan.bench.pedal, plan.bench.body)]
    pairs = [("pedal signal 1", "pin pedal signal 1"), ("pedal signal 1", "throttle signal 1")]
    own, apart = tt.unplugged_ohms(plan.bench, pairs=pairs)
    assert own == pytest.approx(plan.bench.wiring.harness.sensor_wire.resistance, rel=1e-6)
    assert apart == pytest.approx(2e9, rel=0.01)
    leaking = tt.Fault(where="pedal signal 1", what="leak", amount=1e4)
    (ohms,) = tt.unplugged_ohms(plan.bench, faults=[leaking], pairs=[("pedal signal 1", "ground")])
    assert ohms == pytest.approx(1e4, rel=1e-3)
    assert len(terminals) == 12
    assert not math.isnan(own)
