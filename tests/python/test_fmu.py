# SPDX-License-Identifier: BSD-3-Clause
"""Exported FMUs in another program: FMPy validates them, and what it simulates is a session to the bit."""

import json
import re
import shutil
import subprocess
import sys

import fmpy
import numpy as np
import pytest
from click.testing import CliRunner
from fmpy.fmi2 import FMU2Slave
from fmpy.model_description import ValidationError
from fmpy.validation import validate_model_description
from fmu_support import VERSIONS, expected, exported, learned_bench

import twintrack as tt
from twintrack.command.cli import main
from twintrack.fmu.units import base_unit

TICKS = 1200


@pytest.fixture(scope="module")
def bench():
    return learned_bench()


@pytest.fixture(scope="module")
def made(bench, tmp_path_factory):
    return exported(bench, tmp_path_factory.mktemp("fmu"))


def problems(path):
    """What the importer finds wrong. Its grammar of names takes 10 ms for each, so that of names that differ
    in their words only one is looked at."""
    try:
        description = fmpy.read_model_description(path, validate=True, validate_model_structure=True)
    except ValidationError as error:
        return error.problems
    shapes = {re.sub(r"\w+", "a", v.name): v for v in description.modelVariables}
    assert len(shapes) > 5
    description.modelVariables = list(shapes.values())
    return validate_model_description(description, validate_variable_names=True)


@VERSIONS
@pytest.mark.parametrize("kind", ["bench", "plant", "controller"])
def test_the_description_is_valid(made, kind, version):
    assert problems(made[kind, version]) == []


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


# Ended at once: this importer frees what it read of an FMI 3 description twice (its fmi4c_freeFmu).
SECOND = """
import os, sys
from ecospy import EcosSimulation, EcosSimulationStructure
structure = EcosSimulationStructure()
structure.add_model("one", sys.argv[1])
simulation = EcosSimulation(structure=structure, step_size=1e-3)
assert simulation.init()
for name in sys.argv[2:]:
    simulation.step(300)
    print(simulation.get_real("one::" + name).hex(), flush=True)
os._exit(0)
"""


@VERSIONS
def test_a_second_importer_steps_it_to_the_same_bit(bench, made, version):
    if shutil.which("unzip") is None:
        pytest.skip("ecospy unpacks FMUs by unzip, which is not on this machine")
    pytest.importorskip(
        "ecospy", reason="ecospy or its libtbb.so.12 is missing", exc_type=(ImportError, OSError)
    )
    names = ["blade.angle", "motor.current", "blade.angle"]
    told = subprocess.run(
        [sys.executable, "-c", SECOND, made["bench", version], *names],
        capture_output=True,
        text=True,
        timeout=120,
    )
    found = [float.fromhex(line) for line in told.stdout.split() if line.lstrip("-").startswith("0x")]
    record = expected(bench, 900)
    assert found == [record[name][tick] for name, tick in zip(names, (300, 600, 900), strict=True)], (
        told.stderr
    )
    assert found[2] > found[0]


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
    assert problems(str(out)) == []
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


def test_units_in_base_units():
    """SI brochure (BIPM, 9th edition, table 4): the ohm is kg m² s⁻³ A⁻²; the angle is a base unit of FMI."""
    assert base_unit("ohm") == {"kg": "1", "m": "2", "s": "-3", "A": "-2"}
    assert base_unit("N*m/rad") == {"kg": "1", "m": "2", "s": "-2", "rad": "-1"}
    assert base_unit("mm^2") == {"m": "2", "factor": "1e-06"}
    assert base_unit("degC") == {"K": "1", "offset": "273.15"}
