# SPDX-License-Identifier: BSD-3-Clause
"""The type stub of the compiled core serves a user's editor and type checker.

Runs mypy and Jedi (the completion library behind several editors) on a script beside the installed package,
as a user's tools are run.
"""

import inspect
import re
import subprocess
import sys

import jedi
import pytest

from twintrack import _core

STRUCTS = [cls for _, cls in inspect.getmembers(_core, inspect.isclass) if hasattr(cls, "fields")]
SCRIPT = """
import twintrack as tt
from twintrack import _core

motor = _core.MotorParameters(resistance=1.5, gear_ratio=16.0)
print(motor.resistance)
track = _core.TrackParameters(kind="hall", ratio=[0.1, 0.9])
"""


ERRORS = {
    "_core.MotorParameters(resistence=1.5)": 'Unexpected keyword argument "resistence"',
    "_core.MotorParameters(1.5)": "Too many positional arguments",
    '_core.MotorParameters(resistance="1.5 ohm")': 'incompatible type "str"; expected "float"',
    '_core.TrackParameters(kind="hal")': "incompatible type \"Literal['hal']\"",
    "_core.BenchParameters(body=_core.MotorParameters())": 'expected "ThrottleBodyParameters"',
    "motor.resistence": '"MotorParameters" has no attribute "resistence"',
    "motor.resistance = 2.0": 'Property "resistance" defined in "MotorParameters" is read-only',
}


@pytest.fixture(scope="module")
def complaints(tmp_path_factory) -> dict[int, str]:
    """What mypy says of the script with every error behind it, by line."""
    folder = tmp_path_factory.mktemp("user")
    (folder / "user.py").write_text(SCRIPT + "\n".join(ERRORS))
    command = [
        sys.executable,
        "-m",
        "mypy",
        "--no-pretty",
        "--follow-imports=silent",
        "--ignore-missing-imports",
        "user.py",
    ]
    said = subprocess.run(command, cwd=folder, capture_output=True, text=True).stdout
    found = re.findall(r"^user\.py:(\d+): error: (.*)$", said, re.M)
    assert found, said
    return {int(line): text for line, text in found}


def test_a_type_checker_accepts_what_is_right(complaints):
    assert min(complaints) > SCRIPT.count("\n")


@pytest.mark.parametrize(("place", "error"), list(enumerate(ERRORS, start=1)), ids=list(ERRORS))
def test_a_type_checker_finds_an_error(complaints, place, error):
    assert ERRORS[error] in complaints[SCRIPT.count("\n") + place]


def completions(script: str) -> set[str]:
    lines = script.splitlines()
    return {c.name for c in jedi.Script(script).complete(len(lines), len(lines[-1]))}


def test_an_editor_completes_parameters_and_attributes():
    begin = "from twintrack import _core\n"
    assert "resistance=" in completions(f"{begin}_core.MotorParameters(resi")
    assert "gear_ratio" in completions(f"{begin}motor = _core.MotorParameters()\nmotor.gear_")


@pytest.mark.parametrize("cls", STRUCTS, ids=lambda cls: cls.__name__)
def test_a_stub_has_one_line_a_field(cls):
    completed = completions(f"from twintrack import _core\n_core.{cls.__name__}(")
    assert {f"{field.name}=" for field in cls.fields()} <= completed
