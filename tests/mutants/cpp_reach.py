# SPDX-License-Identifier: BSD-3-Clause
"""The C++ tests of the tree with mutants: which there are, which mutants each of them reaches."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "build" / "mutants"
TREE = FOLDER / "tree"
LINES = (ROOT / ".ci/layers.txt").read_text().split("\n")
LAYERS = [line for line in LINES if (ROOT / "tests" / "unit" / line).is_dir() and line]
#: Programs over all layers, run last.
OVER_ALL = {"law_tests": "laws", "literature_tests": "literature"}


@dataclass
class Test:
    program: Path
    name: str
    seconds: float
    reached: set[int]


def programs(targets: list[str]) -> list[Path]:
    folder = TREE / "build/release/tests"
    unit = [folder / "unit" / f"{name}_tests" for name in LAYERS if f"{name}_tests" in targets]
    return unit + [folder / where / name for name, where in OVER_ALL.items() if name in targets]


def run(program: Path, tests: list[str], limit: float, **more: str) -> bool | None:
    """Whether all of them pass; None: not within ``limit`` seconds."""
    env = os.environ | {"TWINTRACK_DRAWS": "20"} | more
    command = [program, "--gtest_fail_fast", "--gtest_brief=1", f"--gtest_filter={':'.join(tests)}"]
    try:
        done = subprocess.run(command, env=env, timeout=limit, cwd=TREE,
                              stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
    except subprocess.TimeoutExpired:
        return None
    return done.returncode == 0


def looked_at(place: tuple[Path, str]) -> Test:
    """One test by itself: which mutants it reaches, and how long it takes."""
    program, name = place
    with tempfile.NamedTemporaryFile("r") as notes:
        begun = time.monotonic()
        if not run(program, [name], 3600, TWINTRACK_REACHED=notes.name):
            sys.exit(f"{program.name}: {name} fails without a mutant")
        seconds = time.monotonic() - begun
        return Test(program, name, seconds, {int(k) for k in notes.read().split()})


def tests_of(program: Path) -> list[tuple[Path, str]]:
    told = subprocess.run([program, "--gtest_list_tests"], capture_output=True, text=True, check=True).stdout
    found, suite = [], ""
    for line in told.splitlines():
        name = line.partition("#")[0].rstrip()
        if line.startswith("  "):
            found.append((program, suite + name.strip()))
        elif name.endswith("."):
            suite = name
    return [place for place in found if "DISABLED_" not in place[1]]
