# SPDX-License-Identifier: BSD-3-Clause
"""FMUs stepped by hand: when inputs count, remainders, states, faults, events, and what is refused."""

import fmpy
import numpy as np
import pytest
from fmu_support import STROKE, VERSIONS, Slave, expected, exported, learned_bench

import twintrack as tt


@pytest.fixture(scope="module")
def bench():
    return learned_bench()


@pytest.fixture(scope="module")
def made(bench, tmp_path_factory):
    return exported(bench, tmp_path_factory.mktemp("fmu"))


@pytest.fixture
def slave(made):
    """slave(kind, version): opened, and closed after the test."""
    opened = []

    def open_one(kind, version, **options):
        opened.append(Slave(made[kind, version], **options))
        return opened[-1]

    yield open_one
    for one in opened:
        one.close()


def on(slave, ticks, begin=0):
    for i in range(begin, begin + ticks):
        slave.fmu.doStep(i / 1000, 1e-3)


@VERSIONS
def test_what_is_set_counts_at_the_tick_at_the_end_of_the_step(bench, slave, version):
    one, session = slave("bench", version), bench.session(STROKE)
    pedals = np.concatenate([np.linspace(0.0, 0.6, 700), np.full(100, -1.0), np.linspace(0.6, 1.0, 100)])
    session.step()
    for i, pedal in enumerate(pedals):
        one.set("input.pedal", pedal)
        one.fmu.doStep(i / 1000, 1e-3)
        if pedal < 0:
            session.release_pedal()
        seen = session.step(pedal=pedal if pedal >= 0 else None)
        assert one.get("blade.angle") == seen.blade_angle
        assert one.get("reading.throttle[1]") == seen.input.throttle[0]
        assert one.get("duty") == seen.command.duty
    assert seen.blade_opening > 0.3


@VERSIONS
def test_the_plant_under_the_duties_of_a_session(bench, slave, version):
    """What its outputs say at a tick was measured then, and the duty counts from then on."""
    one, session = slave("plant", version), bench.session(STROKE)
    modes = {"drive": 1, "brake": 2, "high_impedance": 3}
    for i in range(900):
        seen = session.step()
        assert one.get("blade.angle") == seen.blade_angle
        assert one.get("reading.pedal[2]") == seen.input.pedal[1]
        one.set("input.duty", seen.command.duty)
        one.set("input.mode", modes[seen.command.mode])
        one.fmu.doStep(i / 1000, 1e-3)
    assert seen.blade_opening > 0.3


@VERSIONS
def test_steps_that_are_no_whole_periods_keep_a_remainder(slave, version):
    whole, odd = slave("bench", version), slave("bench", version)
    on(whole, 700)
    for i in range(1000):
        odd.fmu.doStep(i * 0.0007, 0.0007)
    assert odd.get("tick") == whole.get("tick") == 0.7
    assert odd.get("blade.angle") == whole.get("blade.angle")
    odd.fmu.doStep(0.7, 0.0006)
    assert odd.get("tick") == 0.7
    odd.fmu.doStep(0.7006, 0.0006)
    assert odd.get("tick") == 0.701


@VERSIONS
def test_a_state_is_taken_and_put_back(slave, version):
    one = slave("bench", version)
    on(one, 600)
    state = one.fmu.getFMUState()
    on(one, 300, 600)
    angle, codes = one.get("blade.angle"), one.get("codes")
    for _ in range(2):
        one.fmu.setFMUState(state)
        assert one.get("tick") == 0.6
        on(one, 300, 600)
        assert (one.get("blade.angle"), one.get("codes")) == (angle, codes)
    one.fmu.freeFMUState(state)


@VERSIONS
def test_a_fault_is_switched_on_and_off(bench, slave, version):
    one = slave("bench", version)
    fault = tt.Fault(where="pedal.track1", what="offset", amount=0.1, start=0.501, end=0.701)
    record = expected(bench, 800, faults=[fault])
    one.set("fault.pedal.track1.offset.amount", 0.1)
    on(one, 500)
    one.set("fault.pedal.track1.offset.active", True)
    on(one, 200, 500)
    assert one.get("codes") == "P2138-62"
    assert one.get("code_count") == 1
    one.set("fault.pedal.track1.offset.active", False)
    on(one, 100, 700)
    for name in ("blade.angle", "reaction", "pedal.track1"):
        assert one.get(name) == record[name][800]
    with pytest.raises(fmpy.fmi1.FMICallException):
        one.set("fault.pedal.track1.offset.amount", 5.0)


@VERSIONS
def test_parameters_count_from_the_start_and_are_checked(slave, version, capfd):
    one = slave("bench", version, start=False)
    one.set("bench.supply", 10.0)
    one.set("bench.pedal.name", "another")
    one.enter()
    one.fmu.exitInitializationMode()
    on(one, 3)
    assert one.get("supply") == pytest.approx(10.0, abs=0.1)
    assert one.get("bench.pedal.name") == "another"
    for name, value in (("bench.supply", 12.0), ("blade.angle", 0.1)):
        with pytest.raises(fmpy.fmi1.FMICallException):
            one.set(name, value)
    other = slave("bench", version, start=False)
    with pytest.raises(fmpy.fmi1.FMICallException):
        other.set("bench.supply", 99.0)
    assert "bench.supply: battery voltage is 99 V; allowed: 0 to 36 V" in capfd.readouterr().out
    other.enter()
    other.fmu.exitInitializationMode()


@VERSIONS
def test_outputs_in_the_initialization_are_those_at_its_end(slave, version):
    one = slave("bench", version, start=False)
    one.enter()
    before = one.get("pedal.track1")
    one.set("input.pedal", 0.5)
    pressed = one.get("pedal.track1")
    assert pressed > before + 0.3
    one.fmu.exitInitializationMode()
    assert one.get("pedal.track1") == pressed


@VERSIONS
def test_a_step_that_cannot_be_is_refused(slave, version, capfd):
    one = slave("bench", version, start=False)
    one.enter(start=2.0, stop=2.1)
    one.fmu.exitInitializationMode()
    one.fmu.doStep(2.0, 0.05)
    assert one.get("tick") == 0.05
    for time, size, says in (
        (2.0, 0.01, "begins at 2 s; the FMU is at 2.05 s"),
        (2.05, 0.2, "goes beyond the stop time 2.1 s"),
        (2.05, -0.01, "goes back by 0.01 s"),
    ):
        with pytest.raises(fmpy.fmi1.FMICallException):
            one.fmu.doStep(time, size)
        assert says in capfd.readouterr().out
    one.fmu.doStep(2.05, 0.05)


def test_with_the_clock_of_fmi_3_the_foot_counts_at_the_very_tick(bench, slave):
    one = slave("bench", 3, eventModeUsed=True, earlyReturnAllowed=True)
    clock = one.references["control_tick"].valueReference
    session, time = bench.session(STROKE), 0.0
    session.step()
    one.fmu.enterStepMode()
    for i in range(1, 600):
        event, _, early, reached = one.fmu.doStep(time, 0.0025)
        assert (event, early, reached) == (True, True, i / 1000)
        time = reached
        one.fmu.enterEventMode()
        assert one.fmu.getClock([clock]) == [True]
        assert one.fmu.getClock([clock]) == [False]
        one.set("input.pedal", 0.001 * i)
        *_, defined, following = one.fmu.updateDiscreteStates()
        assert defined
        assert following == pytest.approx((i + 1) / 1000)
        one.fmu.enterStepMode()
        seen = session.step(pedal=0.001 * i)
        assert one.get("tick") == i / 1000
        assert one.get("blade.angle") == seen.blade_angle
        assert one.get("duty") == seen.command.duty
    assert one.fmu.doStep(time, 0.0004)[:3] == (False, False, False)
