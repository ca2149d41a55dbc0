# SPDX-License-Identifier: BSD-3-Clause
"""Mutated study files, part files and learned ranges, and how they are tried."""

from __future__ import annotations

import json
import random
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner
from mutated_text import broken_bytes, damaged_text, senseless, toml_file, wrong_key, wrong_leaf

import twintrack as tt
from twintrack.command.cli import main
from twintrack.studies import reader

PARTS = Path(reader.__file__).parents[1] / "parts"

STUDIES = {
    "pair": """title = "invented pair"
pedals = ["half-slope-low"]
bodies = ["opposed-six"]
learn = ["fresh"]
traces = "none"
stroke = { time = ["0 s", "1.5 s", "2.5 s", "4 s"], travel = [0.0, 0.0, 0.5, 0.5] }
[bench]
supply = "13.0 V"
seed = 7
[bench.acquisition]
bits = 10
filter_time = "0.3 ms"
[bench.controller]
feed_forward = true
[[faults]]
where = "pedal.track1"
what = "offset"
amount = 0.04
from = "2 s"
ramp = "100 ms"
[[brake]]
from = "1 s"
to = "2 s"
pressed = 0.5
""",
    "harness": """title = "invented harness"
pedals = ["three-track"]
bodies = ["three-track-split"]
learn = [{ disturbance = "pressed_short", amount = "60 %" }]
stroke = { time = ["0 s", "1 s", "2 s"], travel = [0.0, 0.5, 0.5] }
[bench.wiring]
kind = "harness"
[bench.wiring.harness.sensor_wire]
length = 1.5
[[faults]]
where = "pedal signal 1"
what = "short_to"
with = "pedal return 1"
amount = "0.05 ohm"
from = "1 s"
to = "1.5 s"
[[faults]]
where = "throttle.track3"
what = "noise"
amount = 0.01
from = "0.5 s"
""",
    "campaign": """title = "invented spread"
pedals = ["half-slope-low"]
bodies = ["opposed-six"]
learn = ["fresh"]
rule_sets = ["fault-tolerant time"]
stroke = { time = ["0 s", "1 s", "2 s"], travel = [0.0, 0.5, 0.5] }
[[faults]]
where = "supply"
what = "scale"
amount = 0.9
from = "1 s"
[tolerances]
supply = { normal = ["13 V", "0.5 V"], least = "11 V", most = "15 V" }
"faults[1].amount" = { uniform = [0.8, 1.0] }
"acquisition.bits" = { values = [10, 12] }
""",
}


@dataclass
class Mutant:
    """``make`` gives what is tried; ``wrong``: it must be refused."""

    name: str
    wrong: bool
    attempt: Callable[[], None]


class Refused(Exception):
    """The mutant was refused with this message."""


def command(*arguments: str) -> str:
    """The output of a command, or Refused with its message."""
    result = CliRunner().invoke(main, list(arguments))
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    if result.exit_code != 0:
        raise Refused(result.output)
    return result.output


def try_study(path: Path) -> None:
    """As a user does: check, then the first case."""
    command("check", str(path))
    study = reader.load(path)
    pairing = study.pairings()[0]
    case = study.case(pairing, 0)
    if study.stroke.duration <= 10 and case.parameters.control_period >= 5e-4:
        tt.run_case(case)


def try_part(path: Path) -> None:
    command("parts", str(path))


def try_range(path: Path) -> None:
    try:
        tt.load_range(path)
    except ValueError as error:
        raise Refused(str(error)) from error


def file_mutant(draw: random.Random, folder: Path, number: int) -> Mutant:
    what = draw.choice(["study", "study", "part", "range"])
    if what == "study":
        base, attempt, ending = draw.choice(list(STUDIES.values())), try_study, "toml"
    elif what == "part":
        base, attempt, ending = draw.choice(sorted(PARTS.glob("*.toml"))).read_text(), try_part, "toml"
    else:
        base, attempt, ending = json.dumps(learned().to_dict(), indent=1), try_range, "json"
    tree = tomllib.loads(base) if ending == "toml" else json.loads(base)
    dump = toml_file if ending == "toml" else json.dumps
    way = draw.choice(["leaf", "leaf", "key", "text", "text", "bytes", "sense"])
    wrong = way != "text"
    data: str | bytes
    if way == "leaf":
        name, tree = wrong_leaf(draw, tree)
        data = dump(tree)
    elif way == "key":
        name, tree = wrong_key(draw, tree)
        data = dump(tree)
    elif way == "text":
        name, data = damaged_text(draw, base)
    elif way == "sense":
        name, data = senseless(draw, base)
    else:
        name, data = broken_bytes(draw, base)
    path = folder / f"{number}.{ending}"
    path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass"))
    return Mutant(f"{what}: {way}: {name}", wrong, lambda: attempt(path))


def learned() -> tt.LearnedRange:
    """An invented learned range."""
    curve = [0.1 + 0.02 * k for k in range(33)]
    half = [0.5 * x for x in curve]
    return tt.LearnedRange.from_dict(
        {"pedal": [curve, half], "throttle": [curve, curve[::-1]], "default_opening": 0.07, "pedal_name": "a"}
    )
