# SPDX-License-Identifier: BSD-3-Clause
"""Which test file enters which function of the package: found once, by running each with a note-taker."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
import time
from pathlib import Path

#: Put into the copied package: notes each function entered, as "module:line", here and in child processes.
_NOTE_TAKER = """
import os, sys, threading
_HERE = os.path.dirname(__file__) + "/"
_SEEN = set()
_NOTES = os.open(os.environ["TWINTRACK_REACHED"], os.O_APPEND | os.O_CREAT | os.O_WRONLY)

def _note(frame, event, arg):
    code = frame.f_code
    if id(code) not in _SEEN:
        _SEEN.add(id(code))
        if code.co_filename.startswith(_HERE):
            os.write(_NOTES, f"{code.co_filename[len(_HERE):]}:{code.co_firstlineno}\\n".encode())

threading.settrace(_note)
sys.settrace(_note)
"""
_FUTURE = "from __future__ import annotations\n"
LIMIT = 1800.0  # [s] for one test file

Reached = dict[str, tuple[float, list[str]]]  # by test file: seconds, functions


def pytest(copy: Path, files: list[str], root: Path, limit: float, **more: str) -> tuple[int, str]:
    """Status and output of the files' tests on a copy of the package; status -1: took too long."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-n", "0"]
    environment = os.environ | {"PYTHONPATH": str(copy.parent), "PYTHONDONTWRITEBYTECODE": "1"} | more
    try:
        done = subprocess.run([*command, *files], cwd=root, env=environment, timeout=limit,
                              capture_output=True, text=True)  # fmt: skip
    except subprocess.TimeoutExpired:
        return -1, ""
    return done.returncode, done.stdout


def reached(copy: Path, tests: list[Path], root: Path, kept: Path) -> Reached:
    """Functions that each test file enters; what ``kept`` knows is not run again."""
    known: Reached = json.loads(kept.read_text()) if kept.exists() else {}
    start = copy / "__init__.py"
    text = start.read_text()
    (copy / "_reached.py").write_text(_NOTE_TAKER)
    noting = text.replace(_FUTURE, f"{_FUTURE}\nfrom . import _reached\n", 1)
    start.write_text(noting)
    for path in tests:
        if path.name in known:
            continue
        notes = kept.with_suffix(".notes")
        notes.write_text("")
        begun = time.monotonic()
        status, _ = pytest(copy, [str(path)], root, LIMIT, TWINTRACK_REACHED=str(notes))
        known[path.name] = (time.monotonic() - begun, sorted(set(notes.read_text().split())))
        if status:  # by the note-taker, or by itself? In the latter case it shows nothing about a mutant.
            start.write_text(text)
            if pytest(copy, [str(path)], root, LIMIT)[0]:
                known[path.name] = (0.0, [])
                print(f"  {path.name} fails without a mutant and is left out")
            start.write_text(noting)
        kept.write_text(json.dumps(known, indent=1))
        print(f"  {path.name}: {known[path.name][0]:.0f} s", flush=True)
    start.write_text(text)
    (copy / "_reached.py").unlink()
    return known


def function_of(text: str, at: int) -> int:
    """First line of the innermost function that holds a character, its decorators included; 0: none does."""
    line = text.count("\n", 0, at) + 1
    found = 0
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            first = min([node.lineno, *(d.lineno for d in node.decorator_list)])
            if node.body[0].lineno <= line <= (node.end_lineno or 0) and first > found:
                found = first
    return found
