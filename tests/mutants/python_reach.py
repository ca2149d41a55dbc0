# SPDX-License-Identifier: BSD-3-Clause
"""Which test enters which function of the package: found once, by running each file with a note-taker."""

from __future__ import annotations

import ast
import hashlib
import json
import os
import queue
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass, field
from pathlib import Path

#: Put into the copied package: notes each function entered, by its name, here and in child processes. Its
#: code is kept, since the place of one that is gone would be another's.
_NOTE_TAKER = """
import os, sys, threading
_HERE = os.path.dirname(__file__) + "/"
_SEEN = {}
_NOTES = os.open(os.environ["TWINTRACK_REACHED"], os.O_APPEND | os.O_CREAT | os.O_WRONLY)

def forget():
    _SEEN.clear()

def _note(frame, event, arg):
    code = frame.f_code
    if id(code) not in _SEEN:
        _SEEN[id(code)] = code
        if code.co_filename.startswith(_HERE):
            node = os.environ.get("TWINTRACK_NODE", "")
            os.write(_NOTES, f"{node}\\t{code.co_filename[len(_HERE):]}:{code.co_qualname}\\n".encode())

threading.settrace(_note)
sys.settrace(_note)
"""
_FUTURE = "from __future__ import annotations\n"
LIMIT = 1800.0  # [s] for one test file
PASSED, FAILED, INTERRUPTED, UNKNOWN, LATE = 0, 1, 2, 4, -1  # pytest's statuses, and its time is over


@dataclass
class FileReach:
    """What the tests of one file enter."""

    content: str  #: digest of the file's text
    seconds: dict[str, float] = field(default_factory=dict)  #: by test
    functions: dict[str, list[str]] = field(default_factory=dict)  #: by test, or by file for all its tests

    def tests(self, function: str) -> Iterator[tuple[float, str]]:
        """Seconds and name of each test that enters ``function`` ("module.py:name")."""
        for_all = any(function in self.functions.get(node, []) for node in self.functions if "::" not in node)
        for test, seconds in self.seconds.items():
            if for_all or function in self.functions.get(test, []):
                yield seconds, test


Reached = dict[str, FileReach]


def pytest(
    copy: Path, tests: list[str], root: Path, limit: float, *words: str, **more: str
) -> tuple[int, str]:
    """Status and output of the tests on a copy of the package; status LATE: took too long."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-n", "0", *words]
    path = os.pathsep.join([str(copy.parent), str(Path(__file__).parent)])
    environment = os.environ | {"PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1"} | more
    try:
        done = subprocess.run([*command, *tests], cwd=root, env=environment, timeout=limit,
                              capture_output=True, text=True)  # fmt: skip
    except subprocess.TimeoutExpired:
        return LATE, ""
    return done.returncode, done.stdout


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _noted(path: Path, notes: Path) -> FileReach:
    found = FileReach(_digest(path))
    functions: dict[str, set[str]] = {}
    for line in notes.read_text(encoding="utf-8").splitlines():
        node, _, what = line.partition("\t")
        if what.startswith("="):
            found.seconds[node] = found.seconds.get(node, 0.0) + float(what[1:])
        else:
            functions.setdefault(node, set()).add(what)
    found.functions = {node: sorted(names) for node, names in functions.items()}
    return found


def _look(copy: Path, path: Path, root: Path) -> FileReach:
    """What one file's tests enter; nothing when it fails without a mutant: it then shows nothing of one."""
    start = copy / "__init__.py"
    text = start.read_text()
    notes = copy.parent / "notes"
    notes.write_text("")
    (copy / "_reached.py").write_text(_NOTE_TAKER)
    start.write_text(text.replace(_FUTURE, f"{_FUTURE}\nfrom . import _reached\n", 1))
    name = path.relative_to(root).as_posix()
    words = ["-p", "reach_plugin"]
    status, _ = pytest(copy, [name], root, LIMIT, *words, TWINTRACK_REACHED=str(notes), TWINTRACK_NODE=name)
    start.write_text(text)
    (copy / "_reached.py").unlink()
    if status != PASSED and pytest(copy, [name], root, LIMIT)[0] != PASSED:
        return FileReach(_digest(path))
    return _noted(path, notes)


def reached(free: queue.Queue[Path], tests: list[Path], root: Path, kept: Path) -> Reached:
    """What the tests of each file enter; files that ``kept`` knows as they are now are not run again.

    ``free`` holds copies of the package.
    """
    stored = json.loads(kept.read_text()) if kept.exists() else {}
    known = {name: FileReach(**values) for name, values in stored.items()}
    new = [p for p in tests if p.name not in known or known[p.name].content != _digest(p)]

    def one(path: Path) -> FileReach:
        copy = free.get()
        try:
            return _look(copy, path, root)
        finally:
            free.put(copy)

    with ThreadPoolExecutor(free.qsize()) as hands:
        for path, found in zip(new, hands.map(one, new), strict=True):
            known[path.name] = found
            kept.write_text(json.dumps({name: asdict(entry) for name, entry in known.items()}, indent=1))
            told = f"{sum(found.seconds.values()):.0f} s" if found.seconds else "fails by itself, is left out"
            print(f"  {path.name}: {told}", flush=True)
    return {path.name: known[path.name] for path in tests}


def function_of(text: str, at: int) -> str:
    """Name of the innermost function whose body holds a character, as its code has it; "": none does."""
    line = text.count("\n", 0, at) + 1

    def inside(node: ast.AST, before: str) -> str:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
                if not child.body[0].lineno <= line <= (child.end_lineno or 0):
                    continue
                name = before + child.name
                whole = isinstance(child, ast.ClassDef)
                deeper = inside(child, f"{name}." if whole else f"{name}.<locals>.")
                return deeper or ("" if whole else name)
            found = inside(child, before)
            if found:
                return found
        return ""

    return inside(ast.parse(text), "")
