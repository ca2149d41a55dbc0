# SPDX-License-Identifier: BSD-3-Clause
"""An FMU as the controller: the built-in one, exported and put back, drives a bench with the same bits."""

import zipfile

import numpy as np
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main

STROKE = tt.Stroke(time=[0, 0.5, 0.7, 2.0], travel=[0, 0, 0.6, 0.6])


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    return bench


@pytest.fixture(scope="module")
def exported(bench, tmp_path_factory):
    folder = tmp_path_factory.mktemp("controller")
    return {
        version: str(
            tt.export_fmu(bench, folder / f"controller{version}.fmu", kind="controller", version=version)
        )
        for version in (2, 3)
    }


@pytest.mark.parametrize("version", [2, 3])
@pytest.mark.parametrize("faulty", [False, True])
def test_the_built_in_controller_put_back_gives_the_same_bits(bench, exported, version, faulty):
    faults = [tt.Fault(where="throttle.track2", what="offset", amount=0.1, start=1.0)] if faulty else []
    ours = bench.run(STROKE, faults=faults)
    controller = tt.FmuController(exported[version])(bench.learned, bench.parameters, 0.001)
    theirs = bench.run(STROKE, faults=faults, controller=controller)
    assert theirs.outcome.ok, theirs.outcome.reason
    assert bool(theirs.codes) == faulty
    for name in ("duty", "blade.angle", "demand", "set_point", "opening", "reaction"):
        np.testing.assert_array_equal(theirs.record[name], ours.record[name], err_msg=name)


def test_what_was_learned_is_handed_over(bench, exported):
    """Another learned range than the exported one, and none at all."""
    other = tt.Bench(pedal="half-slope-high", body="opposed-six")
    other.learned = bench.learned.replace(default_opening=0.25)
    ours = other.run(STROKE)
    controller = tt.FmuController(exported[2])(other.learned, other.parameters, 0.001)
    np.testing.assert_array_equal(
        other.run(STROKE, controller=controller).record["duty"], ours.record["duty"]
    )
    three = tt.Bench(pedal="three-track", body="opposed-six")
    assert three.learn().accepted
    with pytest.raises(RuntimeError, match="they have not as many tracks"):
        tt.FmuController(exported[2])(three.learned, three.parameters, 0.001)
    never = tt.FmuController(exported[2])(None, other.parameters, 0.001)
    other.learned = None
    assert not np.any(other.run(STROKE, controller=never).record["duty"])


def test_in_every_case_by_command(exported, tmp_path):
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nlearn = ["none", "fresh"]\n'
    )
    study, out = str(tmp_path / "study.toml"), str(tmp_path / "out")
    command = ["run", study, "--out", out, "--jobs", "2", "--quiet"]
    result = CliRunner().invoke(main, [*command, "--unit", exported[3]])
    assert result.exit_code == 0, result.output
    table = tt.Result(out).to_pandas()
    assert table["status"].tolist() == ["completed", "completed"]
    assert table["response"].tolist() == ["none", "right"]
    shown = CliRunner().invoke(main, ["show", out, "1", "--unit", exported[3]])
    assert "identical to the bit" in shown.output
    shown = CliRunner().invoke(main, ["show", out, "1", "--unit", exported[2]])
    assert shown.exit_code == 2
    assert "its source is not that of" in shown.output


def changed(path, to, old, new):
    """A copy of an FMU with another description."""
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(to, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name == "modelDescription.xml":
                assert old.encode() in content
                content = content.replace(old.encode(), new.encode())
            target.writestr(name, content)
    return str(to)


def test_what_is_no_controller_is_refused(bench, exported, tmp_path, monkeypatch):
    whole = str(tt.export_fmu(bench, tmp_path / "bench.fmu"))
    with pytest.raises(
        tt.InputError, match=r"has no output command.duty, so it is no controller; its outputs: "
    ):
        tt.FmuController(whole)
    (tmp_path / "text.fmu").write_text("no zip")
    with pytest.raises(tt.InputError, match="is no FMU that can be read"):
        tt.FmuController(str(tmp_path / "text.fmu"))
    with pytest.raises(tt.InputError, match="is no FMU that can be read"):
        tt.FmuController(str(tmp_path / "nowhere.fmu"))
    other = changed(exported[2], tmp_path / "exchange.fmu", "<CoSimulation", "<ModelExchange")
    with pytest.raises(tt.InputError, match=r"is not for co-simulation|is no FMU that can be read"):
        tt.FmuController(other)
    token = tt.FmuController(exported[2]).description.guid
    foreign = tt.FmuController(changed(exported[2], tmp_path / "foreign.fmu", token, "x"))
    with pytest.raises(tt.InputError, match=r"cannot be made: token: that of modelDescription.xml"):
        foreign(None, bench.parameters, 0.001)
    monkeypatch.setattr("importlib.util.find_spec", lambda _name: None)
    with pytest.raises(tt.InputError, match="needs the package fmpy, which is not installed"):
        tt.FmuController(exported[2])


def test_a_controller_that_fails_within_a_run_ends_it(bench, exported):
    controller = tt.FmuController(exported[2])(bench.learned, bench.parameters, 0.001)
    controller._period = 0.0015  # its clock is not the bench's: after a tick it is elsewhere
    controller._fmu.doStep(0.0, 0.0005)
    run = bench.run(STROKE, controller=controller)
    assert run.outcome.status == "unit failed"
    assert "doStep: begins at 0 s; the FMU is at 0.0005 s" in run.outcome.reason
