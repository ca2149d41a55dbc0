# SPDX-License-Identifier: BSD-3-Clause
"""How many small faults of the C++ sources the tests find: known mutants, and others drawn by a seed.

    python tests/mutants/cpp.py [COUNT [SEED [LAYER…]]]

A copy of the tree in build/mutants holds them all; the environment variable TWINTRACK_MUTANT chooses
one. Each test is run by itself once, to see which mutants it reaches; then each mutant is tried on the tests
that reach it, those of its layer first, and is found when one fails, crashes or takes too long; with LAYERs
named only their own tests are built and run. COUNT are drawn that compile and are not known to change
nothing a test could see (equivalent.txt, with the reason). Printed are the score of the drawn ones of each
layer, how many of the known ones were found, and those that were not.
"""

from __future__ import annotations

import json
import os
import random
import re
import shutil
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass
from pathlib import Path

from cpp_reach import FOLDER, LAYERS, OVER_ALL, ROOT, TREE, Test, looked_at, programs, run, tests_of
from sites import Site, sites

HEADER = """#pragma once
#include <atomic>
#include <cstdlib>
#include <fstream>
namespace twintrack {
/// Which mutant is chosen, and where to note, when the program ends, those that were reached.
struct Mutants {
    static constexpr int most = 4096;
    const char* chosen = std::getenv("TWINTRACK_MUTANT");
    const char* notes = std::getenv("TWINTRACK_REACHED");
    int number = chosen ? std::atoi(chosen) : 0;
    std::atomic<bool> reached[most] = {};
    bool is(int k) noexcept {
        if (notes) reached[k].store(true, std::memory_order_relaxed);
        return number == k;
    }
    ~Mutants() {
        if (!notes) return;
        std::ofstream file(notes);
        for (int k = 0; k < most; ++k)
            if (reached[k]) file << k << ' ';
    }
};
inline Mutants mutants;
}
#define TWINTRACK_MUTANT(number) (::twintrack::mutants.is(number))
"""
#: What a mutated source begins with. Its warnings, such as that a mutant is always true, are no errors.
LEAD = '#pragma GCC system_header\n#include "twintrack/core/mutants.hpp"'
#: Descriptions of data: ranges, names, examples.
TABLES = re.compile(r"fields\.cpp|catalogue\.cpp|examples\.cpp|supply_profile\.cpp|kernel_|dependencies")


@dataclass
class Mutant:
    number: int
    file: str
    line: int
    what: str
    code: str
    place: int  #: among equal ones of its file
    known: bool  #: from known.txt, and no drawn one
    state: str = "new"  # then: killed by …, alive, invalid, equivalent

    @property
    def layer(self) -> str:
        return Path(self.file).parts[-2]

    @property
    def key(self) -> str:
        return f"{self.file} | {self.code} | {self.what}" + (f" #{self.place}" if self.place > 1 else "")


def sources() -> list[str]:
    names = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "lib", "include"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split()
    return [n for n in names if n.endswith((".cpp", ".hpp")) and not TABLES.search(n)]


def text_of(name: str, text: str, site: Site) -> str:
    """A site in one line: file | code | change."""
    return f"{name} | {' '.join(text[site.begin : site.end].split())} | {site.what}"


def draw(count: int, seed: int, layers: list[str]) -> tuple[list[Mutant], dict[int, Site]]:
    """The known mutants, and ``count`` drawn ones that do not overlap, each site equally likely."""
    texts = {name: (ROOT / name).read_text() for name in sources() if Path(name).parts[-2] in layers}
    every, seen = [], Counter()
    for name, text in texts.items():
        for site in sites(text):
            words = text_of(name, text, site)
            seen[words] += 1
            every.append((name, site, words, seen[words]))
    random.Random(seed).shuffle(every)
    known = (Path(__file__).parent / "known.txt").read_text().splitlines()
    every.sort(key=lambda one: one[2] not in known)  # stable: the drawn order follows
    count += sum(one[2] in known for one in every)
    chosen: dict[str, list[Site]] = {}
    mutants, places = [], {}
    for name, site, words, place in every:
        if len(mutants) == count:
            break
        if any(site.begin < other.end and other.begin < site.end for other in chosen.get(name, [])):
            continue
        chosen.setdefault(name, []).append(site)
        line = texts[name].count("\n", 0, site.begin) + 1
        code = words.split(" | ", 1)[1].removesuffix(f" | {site.what}")
        mutants.append(Mutant(len(mutants) + 1, name, line, site.what, code, place, words in known))
        places[mutants[-1].number] = site
    return mutants, places


def write(path: Path, text: str) -> None:
    """Only what changed, so that only that is built again."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists() or path.read_text() != text:
        path.write_text(text)


def write_tree(mutants: list[Mutant], places: dict[int, Site]) -> None:
    names = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split("\n")
    kept = [n for n in names if n.startswith(("lib/", "include/", "tests/", "examples/", "CMake"))]
    for name in kept:
        path = ROOT / name
        if path.suffix not in (".cpp", ".hpp", ".c", ".h", ".map", ".in", ".txt", ".cmake", ".json", ".md"):
            continue
        text = path.read_text()
        here = [m for m in mutants if m.file == name and m.state != "invalid"]
        for mutant in sorted(here, key=lambda m: -places[m.number].begin):
            site = places[mutant.number]
            text = (
                text[: site.begin]
                + site.text.replace("@", f"TWINTRACK_MUTANT({mutant.number})")
                + text[site.end :]
            )
        if here:
            lines = text.split("\n")
            at = lines.index("#pragma once") + 1 if "#pragma once" in lines else 0
            lines[at] = f"{LEAD}\n#line {at + 1}\n{lines[at]}"
            text = "\n".join(lines)
        write(TREE / name, text)
    write(TREE / "include/twintrack/core/mutants.hpp", HEADER)


def environment() -> dict[str, str]:
    """The compiler cache of the tree serves what no mutant touches: flags and relative paths are the same."""
    return os.environ | {"CCACHE_BASEDIR": str(TREE), "CCACHE_NOHASHDIR": "1"}


def configure() -> None:
    if (TREE / "build/release/build.ninja").exists():
        return
    cache = (ROOT / "build/release/CMakeCache.txt").read_text()
    known = re.findall(r"^((?:Boost|TWINTRACK_BOOST|Eigen3_DIR|GTest_DIR)[^=\n]*=.*)$", cache, re.M)
    command = [
        "cmake",
        "--preset",
        "release",
        "-DTWINTRACK_BUILD_PYTHON=OFF",
        "-DTWINTRACK_BUILD_EXAMPLES=OFF",
    ]
    command += [f"-D{entry}" for entry in known if "NOTFOUND" not in entry and "ADVANCED" not in entry]
    if shutil.which("ccache"):
        command.append("-DCMAKE_CXX_COMPILER_LAUNCHER=ccache")
    subprocess.run(command, cwd=TREE, check=True, stdout=subprocess.DEVNULL, env=environment())


def build(mutants: list[Mutant], places: dict[int, Site], targets: list[str]) -> None:
    """Builds until everything compiles; what does not is left out."""
    while True:
        write_tree(mutants, places)
        configure()
        command = ["cmake", "--build", "--preset", "release", "--target", *targets, "--", "-k", "0"]
        done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, env=environment())
        if done.returncode == 0:
            return
        wrong = set()
        for name, line in re.findall(r"((?:lib|include)/[\w/]+\.[ch]pp):(\d+):", done.stdout + done.stderr):
            for m in mutants:
                lines = m.code.count("\n") + 1
                near = m.line - 1 <= int(line) <= m.line + lines
                if m.file == name and near and m.state != "invalid":
                    wrong.add(m.number)
        if not wrong:
            sys.exit(done.stdout[-4000:] + done.stderr[-2000:])
        for m in mutants:
            if m.number in wrong:
                m.state = "invalid"
        print(f"  {len(wrong)} do not compile and are left out", flush=True)


def judge(mutant: Mutant, tests: list[Test]) -> str:
    """The tests that reach it, by program, those of its own layer first."""
    own = f"{mutant.layer}_tests"
    reaching = [test for test in tests if mutant.number in test.reached]
    for program in sorted({t.program for t in reaching}, key=lambda p: (p.name != own, p.name)):
        here = [test for test in reaching if test.program == program]
        limit = 10 * sum(test.seconds for test in here) + 60
        passed = run(program, [test.name for test in here], limit, TWINTRACK_MUTANT=str(mutant.number))
        if not passed:
            return f"killed by {program.name}" + (", which took too long" if passed is None else "")
    return "alive"


def equivalent() -> dict[str, str]:
    """Known mutants that change nothing, by their key, with the reason."""
    text = (Path(__file__).parent / "equivalent.txt").read_text()
    return dict(re.findall(r"^(?!#)(.+)\n    (.+)$", text, re.M))


def report(mutants: list[Mutant]) -> float:
    """Score of the drawn ones, layer by layer; beside it how many of the known ones were found."""
    print(
        f"\n{'layer':<10}{'drawn':>8}{'found':>7}{'by its own tests':>18}{'score':>8}{'known':>8}{'found':>7}"
    )
    judged = [m for m in mutants if m.state.startswith(("killed", "alive"))]
    for layer in [*LAYERS, "all"]:
        here = [m for m in judged if layer in (m.layer, "all")]
        drawn, known = ([m for m in here if m.known == which] for which in (False, True))
        found, again = ([m for m in some if m.state != "alive"] for some in (drawn, known))
        own = sum(m.state.startswith(f"killed by {m.layer}_tests") for m in found)
        share = f"{100 * len(found) / len(drawn):6.1f} %" if drawn else ""
        print(f"{layer:<10}{len(drawn):>8}{len(found):>7}{own:>18}{share:>8}{len(known):>8}{len(again):>7}")
    for m in judged:
        if m.state == "alive":
            print(f"alive: {m.file}:{m.line}: {m.what}: {m.code[:100]}")
    return len(found) / max(len(drawn), 1)


def ready(count: int, seed: int, layers: list[str], targets: list[str]) -> list[Mutant]:
    """Built, with ``count`` drawn ones that compile and are not known to be equivalent."""
    more = 0
    while True:
        mutants, places = draw(count + more, seed, layers)
        for m in mutants:
            m.state = "equivalent" if m.key in equivalent() else "new"
        build(mutants, places, targets)
        left_out = sum(m.state != "new" and not m.known for m in mutants)
        if left_out <= more:
            return mutants
        more = left_out


def main(count: int, seed: int, layers: list[str]) -> int:
    FOLDER.mkdir(parents=True, exist_ok=True)
    targets = [f"{name}_tests" for name in layers or LAYERS] + ([] if layers else list(OVER_ALL))
    mutants = ready(count, seed, layers or LAYERS, targets)
    new = [m for m in mutants if m.state == "new"]
    with ThreadPoolExecutor(os.cpu_count()) as hands:
        places = [place for program in programs(targets) for place in tests_of(program)]
        tests = list(hands.map(looked_at, places))
        print(f"  {len(tests)} tests, {sum(t.seconds for t in tests):.0f} s", flush=True)
        for m, state in zip(new, hands.map(lambda one: judge(one, tests), new), strict=True):
            m.state = state
            print(f"{m.number:4} {m.file}:{m.line}: {m.what}: {m.state}", flush=True)
    kept = FOLDER / f"{seed}-{count}-{'-'.join(layers) or 'all'}.json"
    kept.write_text(json.dumps([asdict(one) for one in mutants], indent=1))
    return int(report(mutants) < 0.95)


if __name__ == "__main__":
    given = sys.argv[1:]
    numbers = [int(a) for a in given if a.isdigit()]
    sys.exit(main(*[*numbers, *[100, 1][len(numbers) :]], [a for a in given if not a.isdigit()]))
