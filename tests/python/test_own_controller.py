# SPDX-License-Identifier: BSD-3-Clause
"""A controller of one's own in every case of an experiment, by program and by command."""

import json
import textwrap
import xml.etree.ElementTree as xml

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.experiments.result import Result
from twintrack.studies import own_controller

STROKE = {"time": ["0 s", "0.6 s", "0.8 s", "2 s", "2.2 s", "3.5 s"], "travel": [0, 0, 0.6, 0.6, 0, 0]}

MODULE = textwrap.dedent(
    '''
    """A proportional loop on the first tracks, so strong that friction hardly matters."""
    import twintrack as tt

    class Loop:
        def __init__(self, learned):
            self.pedal = learned.pedal[0].curve[[0, -1]]
            self.throttle = learned.throttle[0].curve[[0, -1]]

        def step(self, seen):
            pedal = (seen.pedal[0] - self.pedal[0]) / (self.pedal[1] - self.pedal[0])
            opening = (seen.throttle[0] - self.throttle[0]) / (self.throttle[1] - self.throttle[0])
            duty = min(max(GAIN * (pedal - opening), -0.9), 0.9)
            mode = "drive" if seen.motor_permitted else "high_impedance"
            believed = dict(pedal=pedal, demand=pedal, set_point=pedal, opening=opening)
            return tt.Command(mode=mode, duty=duty, **believed)

    def make(learned, bench, period):
        assert period == bench.control_period == 0.001
        return Loop(learned)

    def broken(learned, bench, period):
        raise LookupError("no table for this bench")

    class Late(Loop):
        def step(self, seen):
            return tt.Command(duty=2.0) if seen.time > 1.0 else super().step(seen)

    def late(learned, bench, period):
        return Late(learned)

    number = 3
    '''
)


@pytest.fixture
def module(tmp_path, monkeypatch):
    """Where a module of one's own stands: the folder at hand. Its name is new for each test."""
    monkeypatch.chdir(tmp_path)
    name = "own_" + tmp_path.name.replace("-", "_")
    (tmp_path / f"{name}.py").write_text(MODULE.replace("GAIN", "8.0"))
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nlearn = ["fresh"]\n'
        f"stroke = {{ time = {STROKE['time']}, travel = {STROKE['travel']} }}\n"
    )
    return name


def command(*words):
    return CliRunner().invoke(main, ["run", "study.toml", "--out", "out", "--quiet", *words])


def test_run_and_show(module):
    result = command("--unit", f"{module}:make")
    assert result.exit_code == 0, result.output
    table = Result("out").to_pandas()
    assert table["solver"].tolist() == ["exact"]
    assert table["response"].tolist() == ["right"]  # such a gain leaves little to springs and friction
    shown = CliRunner().invoke(main, ["show", "out", "0", "--unit", f"{module}:make"])
    assert shown.exit_code == 0, shown.output
    assert "identical to the bit" in shown.output


def test_it_is_part_of_what_was_run(module, tmp_path):
    """Another controller, another source, or none: another experiment."""
    assert command("--unit", f"{module}:make").exit_code == 0
    plain = command()
    assert plain.exit_code == 2
    assert "out" in plain.output
    shown = CliRunner().invoke(main, ["show", "out", "0"])
    assert shown.exit_code == 2
    assert f"these cases were run with the controller '{module}:make'; give it again" in shown.output
    own_controller.load(f"{module}:make")
    (tmp_path / f"{module}.py").write_text(MODULE.replace("GAIN", "9.0"))
    shown = CliRunner().invoke(main, ["show", "out", "0", "--unit", f"{module}:make"])
    assert shown.exit_code == 2
    assert "its source is not that of" in shown.output
    tt.Study.load("study.toml").run("plain", progress=False)
    unit = own_controller.load(f"{module}:make")
    with pytest.raises(InputError, match="was run with the built-in controller"):
        Result("plain", unit)


def test_the_results_are_read_without_it(module):
    assert command("--unit", f"{module}:make").exit_code == 0
    result = Result("out")
    assert len(result) == 1
    assert result.headline
    assert result.plan.study.unit.name == f"{module}:make"


@pytest.mark.parametrize(
    ("unit", "message"),
    [
        ("nothing", "expected 'module:factory'"),
        ("no_such_module:make", "the module 'no_such_module' cannot be imported: ModuleNotFoundError"),
        ("{module}:mak", "there is no 'mak' in '{module}'; did you mean 'make'"),
        ("{module}:number", "a factory (learned, bench, period) -> object with step() is expected; got 3"),
    ],
)
def test_what_is_no_unit(module, unit, message):
    result = command("--unit", unit.format(module=module))
    assert result.exit_code == 2
    assert message.format(module=module) in result.output
    assert "Traceback" not in result.output


def test_a_factory_that_raises_is_told(module):
    result = command("--unit", f"{module}:broken")
    table = Result("out").to_pandas()
    assert table["status"].tolist() == ["refused"]
    assert "controller: cannot be made: LookupError: no table for this bench" in table["outcome"][0]
    assert "Traceback" not in result.output


def test_a_controller_that_fails_ends_its_case(module):
    result = command("--unit", f"{module}:late")
    assert result.exit_code == 1
    table = Result("out").to_pandas()
    assert table["status"].tolist() == ["unit failed"]
    assert table["outcome"].tolist() == ["the controller answered duty = 2; allowed: -1 to 1 (tick 1001)"]
    assert "1 cases: unit failed; see the column 'outcome'" in result.output


def test_in_a_program_with_an_audit(module):
    """Every fault of an audit meets it, and its own healthy drive is the reference."""
    study = tt.Study.make(
        design="audit",
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        stroke=STROKE,
        audit={"setups": ["default", "none"], "instants": ["part load"]},
    )
    table = study.run(unit=f"{module}:make", cases=12, progress=False).to_pandas()
    assert set(table["solver"]) == {"exact"}
    assert set(table["status"]) == {"completed"}
    healthy = table[(table["fault"] == "") & (table["setup"] == "none")]
    assert healthy["unasked_opening"].item() < 1e-9


def test_verdicts_for_a_test_system(module):
    result = command("--unit", f"{module}:late", "--verdicts", "found.xml")
    assert result.exit_code == 1
    suite = xml.parse("found.xml").getroot().find("testsuite")
    assert (suite.get("tests"), suite.get("errors"), suite.get("failures")) == ("1", "1", "0")
    assert suite.find("testcase/error").get("message").startswith("unit failed: the controller answered duty")
    assert command("--unit", f"{module}:late", "--verdicts", "found.txt").exit_code == 2


def test_fail_on_json_and_junit_tell_the_one_that_is_dangerous(tmp_path, monkeypatch):
    """Two pedals on one body: of six cases only the second pedal with the range of the first one
    (README) opens uncommanded; the other exchange is wrong and detected, which is no failed test."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low", "half-slope-high"]\nbodies = ["opposed-six"]\n'
        'learn = ["none", "fresh", "stale"]\n'
    )
    assert command("--verdicts", "found.json", "--fail-on", "false alarm").exit_code == 0
    found = json.loads((tmp_path / "found.json").read_text())
    responses = [case["response"] for case in found["cases"]]
    assert responses == ["none", "none", "right", "right", "wrong", "uncommanded"]
    assert [case["failed"] for case in found["cases"]] == [False] * 5 + [True]
    assert found["failed"] == 1
    result = command("--verdicts", "found.xml", "--fail-on", "late")
    assert result.exit_code == 3
    assert "1 case with the grade 'late' (--fail-on)" in result.output
    suite = xml.parse("found.xml").getroot().find("testsuite")
    assert (suite.get("tests"), suite.get("errors"), suite.get("failures")) == ("6", "0", "1")
    (failed,) = suite.findall("testcase[failure]")
    assert failed.get("name").startswith("5: half-slope-high")
    assert command("--fail-on", "horror").exit_code == 2
