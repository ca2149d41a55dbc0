# SPDX-License-Identifier: BSD-3-Clause
"""How many small faults of the Python sources the tests find: mutants drawn by a seed.

    python tests/mutants/python.py [COUNT [SEED [PATH…]]]

PATHs (of modules or folders below python/twintrack) narrow where they are drawn. A mutant stands in a copy
of the package in build/mutants, as many at a time as there are cores; the tests that enter its function run,
the quickest first, until one fails. What is known is kept, and so is what each test enters, as long as its
file is the same: the same command goes on where it stopped. Printed are the score of each subpackage and the
mutants that were not found; equivalent.txt names those that change nothing a test could see.
"""

from __future__ import annotations

import hashlib
import json
import os
import queue
import random
import re
import shutil
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from pathlib import Path

from python_reach import FAILED, INTERRUPTED, LATE, PASSED, UNKNOWN, Reached, function_of, pytest, reached
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
    """File | function | line | column, change, and which of equal ones: the same when other lines change."""
    text = (PACKAGE / name).read_text()

    def words(one: Site) -> str:
        begin = text.rfind("\n", 0, one.begin) + 1
        line = text[begin:].split("\n", 1)[0]
        column = one.begin - begin - len(line) + len(line.lstrip())
        return f"{function_of(text, one.begin)} | {line.strip()} | {column} {one.what}"

    own = words(site)
    place = sum(words(one) == own for one in sites(text) if one.begin < site.begin)
    return f"python/twintrack/{name} | {own}" + (f" #{place + 1}" if place else "")


def candidates(name: str, site: Site, known: Reached) -> tuple[list[str], float]:
    """Tests that enter the mutated function, the quickest first, and their seconds; code outside of functions
    runs at import: the tests of files that name its module.
    """
    function = function_of((PACKAGE / name).read_text(), site.begin)
    found = [test for one in known.values() for test in one.tests(f"{name}:{function}")] if function else []
    if not found:
        files = [known[path.name] for path in tests_of(name) if path.name in known]
        found = [(seconds, test) for one in files for test, seconds in one.seconds.items()]
    return [test for _, test in sorted(found)], sum(seconds for seconds, _ in found)


def judge(copy: Path, name: str, site: Site, known: Reached) -> str:
    text = (PACKAGE / name).read_text()
    tests, seconds = candidates(name, site, known)
    if not tests:
        return "alive"
    (copy / name).write_text(text[: site.begin] + site.text + text[site.end :])
    status, output = pytest(copy, tests, ROOT, 60.0 + 3.0 * seconds, "-x")
    (copy / name).write_text(text)
    if status == PASSED:
        return "alive"
    # Tests whose file cannot be imported any more are unknown to pytest, which then says why.
    broken = status == UNKNOWN and re.search(r"^ERROR tests/", output, re.M)
    if not broken and status not in (FAILED, INTERRUPTED, LATE):
        raise RuntimeError(f"pytest ended with status {status} at {key(name, site)}:\n{output[-2000:]}")
    failed = re.search(r"^(?:FAILED|ERROR) (\S+)", output, re.M)
    return f"killed by {failed[1] if failed else 'time' if status == LATE else 'an error'}"


def copies(count: int) -> queue.Queue[Path]:
    """Copies of the package, one for each mutant that is tried at a time."""
    made: queue.Queue[Path] = queue.Queue()
    for k in range(count):
        copy = FOLDER / str(k) / "twintrack"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
        made.put(copy)
    return made


def digest() -> str:
    """Of the sources and their tests, as they are now."""
    texts = hashlib.sha256()
    for path in sorted([*PACKAGE.rglob("*.py"), *(ROOT / "tests" / "python").rglob("*.py")]):
        texts.update(path.read_bytes())
    return texts.hexdigest()


def judged(
    places: list[tuple[str, Site]], known: Reached, free: queue.Queue[Path], kept: Path
) -> dict[str, str]:
    """What became of each mutant, by its key; what ``kept`` holds counts while all is as it was."""
    stored = json.loads(kept.read_text()) if kept.exists() else {}
    now = digest()
    states: dict[str, str] = stored["states"] if stored.get("of") == now else {}

    def one(place: tuple[str, Site]) -> str:
        copy = free.get()
        try:
            return judge(copy, *place, known)
        finally:
            free.put(copy)

    new = {key(*place): place for place in places if key(*place) not in states}
    with ThreadPoolExecutor(free.qsize()) as hands:
        for text, state in zip(new, hands.map(one, new.values()), strict=True):
            states[text] = state
            kept.write_text(json.dumps({"of": now, "states": states}, indent=1))
            print(f"{text}: {state}", flush=True)
    return states


def main(count: int, seed: int, paths: list[str]) -> int:
    free = copies(os.cpu_count() or 1)
    tests = [path for path in sorted((ROOT / "tests" / "python").glob("test_*.py")) if path.name not in LONG]
    known = reached(free, tests, ROOT, FOLDER / "reached.json")
    every = [(name, site) for name in modules(paths) for site in sites((PACKAGE / name).read_text())
             if not (site.number and DRAWN.search(name))]  # fmt: skip
    random.Random(seed).shuffle(every)
    same = set((Path(__file__).parent / "equivalent.txt").read_text().splitlines())
    places = list(islice((place for place in every if key(*place) not in same), count))
    states = judged(places, known, free, FOLDER / f"{seed}.json")
    total: Counter[str] = Counter()
    found: Counter[str] = Counter()
    for name, site in places:
        part = name.split("/")[0]
        total[part] += 1
        found[part] += states[key(name, site)] != "alive"
    for part in total:
        print(f"{part:<20}{found[part]:>4} of {total[part]:>4}")
    print(*(f"alive: {key(*place)}" for place in places if states[key(*place)] == "alive"), sep="\n")
    score = found.total() / max(total.total(), 1)
    print(f"{found.total()} of {total.total()} found: {100 * score:.1f} %")
    return int(score < 0.95)


if __name__ == "__main__":
    given = sys.argv[1:]
    numbers = [int(a) for a in given if a.isdigit()]
    sys.exit(main(*[*numbers, *[100, 1][len(numbers) :]], [a for a in given if not a.isdigit()]))
