# SPDX-License-Identifier: BSD-3-Clause
"""How many small faults of the Python sources the tests find: mutants drawn by a seed.

    python tests/mutants/python.py [COUNT [SEED [PATH…]]]

PATHs (of modules or folders below python/twintrack) narrow where they are drawn. A mutant stands in a copy
of the package in build/mutants; the test files that enter its function run, the quickest first, until a test
fails. What is known is kept, and so is which test file enters which function (remove the file
build/mutants/python-reached.json where tests changed): the same command goes on where it stopped. Printed
are the score of each subpackage and the mutants that were not found; equivalent.txt names those that change
nothing a test could see.
"""

from __future__ import annotations

import json
import random
import re
import shutil
import sys
from collections import Counter
from pathlib import Path

from python_reach import Reached, function_of, pytest, reached
from python_sites import Site, sites

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "python" / "twintrack"
FOLDER = ROOT / "build" / "mutants" / "python"
#: Tests of large samples and of times: what they find, others find sooner.
LONG = ["test_stub.py", "test_lane_agreement.py"]
#: Modules that draw: how large and where a thing is drawn is looked at, not tested. What is drawn is.
DRAWN = re.compile(r"(^|/|_)(plot|figure|drawing|picture)\.py$")


def modules(paths: list[str]) -> list[str]:
    names = [str(path.relative_to(PACKAGE)) for path in sorted(PACKAGE.rglob("*.py"))]
    return [name for name in names if not paths or any(name.startswith(path) for path in paths)]


def tests_of(name: str) -> list[Path]:
    """Test files that import the module, or anything of its subpackage; the module's own first."""
    dotted = "twintrack." + name.removesuffix(".py").replace("/", ".")
    folder, _, module = dotted.rpartition(".")
    every = [path for path in sorted((ROOT / "tests" / "python").glob("test_*.py")) if path.name not in LONG]
    own = [p for p in every if dotted in (text := p.read_text()) or f"from {folder} import {module}" in text]
    more = [p for p in every if folder != "twintrack" and folder in p.read_text()]
    return list(dict.fromkeys([*own, *more])) or every


def key(name: str, site: Site) -> str:
    """File | line | column and change: it stays the same when other lines change."""
    text = (PACKAGE / name).read_text()
    begin = text.rfind("\n", 0, site.begin) + 1
    line = text[begin:].split("\n", 1)[0]
    column = site.begin - begin - len(line) + len(line.lstrip())
    return f"python/twintrack/{name} | {line.strip()} | {column} {site.what}"


def candidates(name: str, site: Site, known: Reached) -> list[Path]:
    """Test files that enter the mutated function, the quickest first; else those that name its module."""
    function = function_of((PACKAGE / name).read_text(), site.begin)
    inside = [file for file, (_, functions) in known.items() if f"{name}:{function}" in functions]
    files = [ROOT / "tests" / "python" / file for file in inside] if function else tests_of(name)
    files = [path for path in files or tests_of(name) if known.get(path.name, (0.0, [""]))[1]]
    return sorted(files, key=lambda path: known.get(path.name, (0.0, []))[0])


def judge(name: str, site: Site, known: Reached) -> str:
    copy = FOLDER / "twintrack"
    text = (PACKAGE / name).read_text()
    (copy / name).write_text(text[: site.begin] + site.text + text[site.end :])
    files = candidates(name, site, known)
    limit = 60.0 + 3.0 * sum(known.get(path.name, (60.0, []))[0] for path in files)
    status, output = pytest(copy, ["-x", *map(str, files)], ROOT, limit)
    (copy / name).write_text(text)
    if status == 0:
        return "alive"
    failed = re.search(r"^(?:FAILED|ERROR) \S*?(\w+\.py)", output, re.M)
    return f"killed by {failed[1] if failed else 'time' if status < 0 else 'an error'}"


def main(count: int, seed: int, paths: list[str]) -> int:
    shutil.rmtree(FOLDER, ignore_errors=True)
    shutil.copytree(PACKAGE, FOLDER / "twintrack", ignore=shutil.ignore_patterns("__pycache__"))
    tests = [path for path in sorted((ROOT / "tests" / "python").glob("test_*.py")) if path.name not in LONG]
    functions = reached(FOLDER / "twintrack", tests, ROOT, FOLDER.parent / "python-reached.json")
    every = [(name, site) for name in modules(paths) for site in sites((PACKAGE / name).read_text())
             if not (site.number and DRAWN.search(name))]  # fmt: skip
    random.Random(seed).shuffle(every)
    kept = FOLDER.parent / f"python-{seed}.json"
    known = json.loads(kept.read_text()) if kept.exists() else {}
    same = set((Path(__file__).parent / "equivalent.txt").read_text().splitlines())
    total: Counter[str] = Counter()
    found: Counter[str] = Counter()
    alive = []
    for name, site in every[:count]:
        text = key(name, site)
        if text in same:
            continue
        if known.get(text, "alive") == "alive":
            known[text] = judge(name, site, functions)
            kept.write_text(json.dumps(known, indent=1))
            print(f"{text}: {known[text]}", flush=True)
        part = name.split("/")[0]
        total[part] += 1
        found[part] += known[text] != "alive"
        alive += [text] if known[text] == "alive" else []
    for part in total:
        print(f"{part:<20}{found[part]:>4} of {total[part]:>4}")
    print(*(f"alive: {text}" for text in alive), sep="\n")
    score = found.total() / max(total.total(), 1)
    print(f"{found.total()} of {total.total()} found: {100 * score:.1f} %")
    return int(score < 0.95)


if __name__ == "__main__":
    given = sys.argv[1:]
    numbers = [int(a) for a in given if a.isdigit()]
    sys.exit(main(*[*numbers, *[100, 1][len(numbers) :]], [a for a in given if not a.isdigit()]))
