# SPDX-License-Identifier: BSD-3-Clause
"""Exported FMUs in another program: FMPy validates them, and what it simulates is a session to the bit."""

import json
import shutil

import fmpy
import numpy as np
import pytest
from click.testing import CliRunner
from fmpy.fmi2 import FMU2Slave
from fmpy.fmi3 import FMU3Slave
from fmpy.validation import validate_fmu

import twintrack as tt
from twintrack.command.cli import main

STROKE = tt.Stroke(time=[0, 0.5, 0.7, 2.0], travel=[0, 0, 0.6, 0.6])
TICKS = 1200
VERSIONS = pytest.mark.parametrize("version", [2, 3])


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    return bench


@pytest.fixture(scope="module")
def made(bench, tmp_path_factory):
    """Paths by kind and version."""
    folder = tmp_path_factory.mktemp("fmu")
    return {
        (kind, version): str(
            tt.export_fmu(bench, folder / f"{kind}{version}.fmu", kind=kind, version=version, stroke=STROKE)
        )
        for kind in ("bench", "plant", "controller")
        for version in (2, 3)
    }


class Slave:
    """An FMU stepped by hand, its variables by name."""

    def __init__(self, path, start=True, logger=None, **instantiate):
        self.description = fmpy.read_model_description(path)
        self.references = {v.name: v for v in self.description.modelVariables}
        self.folder = fmpy.extract(path)
        self.version = int(self.description.fmiVersion[0])
        make = FMU2Slave if self.version == 2 else FMU3Slave
        self.fmu = make(
            guid=self.description.guid,
            unzipDirectory=self.folder,
            modelIdentifier=self.description.coSimulation.modelIdentifier,
            instanceName="one",
        )
        self.fmu.instantiate(**instantiate)
        if start:
            self.enter()
            self.fmu.exitInitializationMode()

    def enter(self, start=0.0, stop=None):
        if self.version == 2:
            self.fmu.setupExperiment(startTime=start, stopTime=stop)
            self.fmu.enterInitializationMode()
        else:
            self.fmu.enterInitializationMode(startTime=start, stopTime=stop)

    def _call(self, way, name, *values):
        v = self.references[name]
        kind = {"Enumeration": "Integer" if self.version == 2 else "Int64"}.get(v.type, v.type)
        return getattr(self.fmu, way + kind)([v.valueReference], *values)

    def get(self, name):
        value = self._call("get", name)[0]
        return value.decode() if isinstance(value, bytes) else value

    def set(self, name, value):
        self._call("set", name, [value])

    def close(self):
        self.fmu.terminate()
        self.fmu.freeInstance()
        shutil.rmtree(self.folder)


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


def expected(bench, ticks, **options):
    """The record of a session."""
    session = bench.session(STROKE, **options)
    for _ in range(ticks + 1):
        session.step()
    return session.record


@VERSIONS
@pytest.mark.parametrize("kind", ["bench", "plant", "controller"])
def test_the_description_is_valid(made, kind, version):
    assert validate_fmu(made[kind, version]) == []


@VERSIONS
def test_every_field_is_a_parameter_with_unit_and_range(bench, made, version):
    variables = {v.name: v for v in fmpy.read_model_description(made["bench", version]).modelVariables}
    resistance = variables["bench.body.mechanics.motor.resistance"]
    (field,) = (f for f in tt.MotorParameters.fields() if f.name == "resistance")
    assert (resistance.unit, resistance.causality, resistance.variability) == (
        "ohm",
        "parameter",
        "fixed",
    )
    assert (float(resistance.min), float(resistance.max)) == (field.least, field.most)
    assert float(resistance.start) == bench.parameters.body.mechanics.motor.resistance
    assert variables["bench.pedal.tracks[2].noise"].causality == "parameter"
    leaves = [name for name in variables if name.startswith("bench.")]
    assert len(leaves) > 300
    assert all(variables[name].causality == "parameter" for name in leaves)
    kind = variables["bench.wiring.kind"]
    assert [item.name for item in kind.declaredType.items] == ["harness", "ideal"]


@VERSIONS
def test_simulated_by_the_importer_it_is_a_session_to_the_bit(bench, made, version):
    record = expected(bench, TICKS)
    names = list(record.names)
    result = fmpy.simulate_fmu(
        made["bench", version], stop_time=TICKS / 1000, output_interval=1e-3, output=names
    )
    assert len(result) == TICKS + 1
    np.testing.assert_allclose(result["time"], record.time, rtol=0, atol=1e-12)
    for name in names:
        np.testing.assert_array_equal(result[name], record[name], err_msg=name)
    assert record["blade.opening"].max() > 0.3


def on(slave, ticks, begin=0):
    for i in range(begin, begin + ticks):
        slave.fmu.doStep(i / 1000, 1e-3)


@VERSIONS
def test_what_is_set_counts_at_the_tick_at_the_end_of_the_step(bench, slave, version):
    one, session = slave("bench", version), bench.session(STROKE)
    pedals = np.concatenate([np.full(200, 0.3), np.full(200, -1.0), np.linspace(0.0, 1.0, 200)])
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


def test_another_importer_may_use_events_or_not(bench, made):
    record = expected(bench, 900)
    result = fmpy.simulate_fmu(
        made["bench", 3],
        stop_time=0.9,
        output_interval=0.01,
        output=["blade.angle"],
        use_event_mode=True,
        early_return_allowed=True,
    )
    assert result["blade.angle"][-1] == record["blade.angle"][900]


def test_a_foreign_description_is_refused(made, tmp_path, capfd):
    path = made["bench", 2]
    description = fmpy.read_model_description(path)
    folder = fmpy.extract(path, tmp_path)
    arguments = {"unzipDirectory": folder, "modelIdentifier": "twintrack", "instanceName": "one"}
    with pytest.raises(Exception, match=r"[Ff]ailed to instantiate"):
        FMU2Slave(guid="another", **arguments).instantiate()
    assert "token" in capfd.readouterr().out
    (tmp_path / "resources" / "bench.json").write_text('{"bench": {"supply": 99}}')
    with pytest.raises(Exception, match=r"[Ff]ailed to instantiate"):
        FMU2Slave(guid=description.guid, **arguments).instantiate()
    assert "battery voltage is 99 V" in capfd.readouterr().out


def test_by_command(tmp_path):
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nlearn = ["none", "fresh"]\n'
    )
    run = CliRunner().invoke
    study, out = str(tmp_path / "study.toml"), tmp_path / "one.fmu"
    result = run(main, ["fmu", study, "--plant", "--fmi", "3", "--out", str(out)])
    assert result.exit_code == 0, result.output
    assert validate_fmu(str(out)) == []
    again = out.read_bytes()
    run(main, ["fmu", study, "--plant", "--fmi", "3", "--out", str(out)])
    assert out.read_bytes() == again
    plain = tmp_path / "bench.json"
    assert run(main, ["fmu", study, "--json", "--case", "1", "--out", str(plain)]).exit_code == 0
    assert json.loads(plain.read_text())["learned"]["pedal"][0][0] > 0.0
    wrong = run(main, ["fmu", study, "--case", "2", "--out", str(out)])
    assert wrong.exit_code == 2
    assert "the study has 2 cases" in wrong.output
    wrong = run(main, ["fmu", study, "--out", str(tmp_path / "nowhere" / "x.fmu")])
    assert wrong.exit_code == 2
    assert "cannot be written" in wrong.output
