#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""What the gate took: seconds of the steps, largest compilers, install, stub. Fails beyond a limit."""

import re
import sys
from itertools import pairwise
from pathlib import Path

# Limits on a machine of two cores. These once grew unnoticed: the install from 214 to 320 s, the compiler
# to 1.4 GB. Raise one only with a reason in the commit message.
MOST_INSTALL_SECONDS = 150  # `pip install .` of the README with nothing in the compiler cache
MOST_STUB_LINES = 2_400  # python/twintrack/_core.pyi: one line a field
MOST_COMPILER_MB = {  # one compiler process
    "plain": 600,  # what a user compiles too
    "sanitizer": 1200,  # joined sources with address or thread sanitizers: only here
}
COLD = 0.05  # the install counts as cold when no larger share of it came from the compiler cache

TOP = Path(__file__).parent.parent
LOGS = TOP / "build" / "ci"
SHOWN = 5  # compilers


def steps() -> list[str]:
    rows = []
    for path in LOGS.glob("*.took"):
        status, seconds = path.read_text(encoding="utf-8").split()
        rows.append((int(seconds), path.stem, "" if status == "0" else "  FAILED"))
    return [f"{seconds:6d} s  {name}{failed}" for seconds, name, failed in sorted(rows, reverse=True)]


def compilers() -> tuple[list[str], list[str]]:
    """The largest of what was really compiled, and complaints."""
    log = LOGS / "compilers.log"
    lines = log.read_text(encoding="utf-8").splitlines() if log.exists() else []
    rows = []
    for peak, took, kind, name in (line.split("\t") for line in lines):
        rows.append((int(peak) / 1024, float(took), kind, shown(name)))
    rows.sort(reverse=True)
    told = [f"{len(rows)} files compiled in {sum(row[1] for row in rows):.0f} processor seconds"]
    beyond = []
    for kind, most in MOST_COMPILER_MB.items():
        ours = [row for row in rows if row[2] == kind]
        told += [f"largest {kind} compilers, at most {most} MB:"] if ours else []
        told += [f"{peak:6.0f} MB  {took:5.1f} s  {name}" for peak, took, _, name in ours[:SHOWN]]
        beyond += [f"{name}: {peak:.0f} MB, at most {most}" for peak, _, _, name in ours if peak > most]
    return told, list(dict.fromkeys(beyond))


def shown(name: str) -> str:
    path = Path(name)
    return path.relative_to(TOP).as_posix() if path.is_relative_to(TOP) else name


def cached() -> float:
    """Share of the install's compilations that the cache answered."""
    log = LOGS / "start.ccache"
    events = log.read_text(encoding="utf-8").splitlines() if log.exists() else []
    hits = sum(event in {"direct_cache_hit", "preprocessed_cache_hit"} for event in events)
    misses = events.count("cache_miss")
    return hits / (hits + misses) if hits else 0.0


def install() -> tuple[str, list[str]]:
    log = LOGS / "readme-start.log"
    text = log.read_text(encoding="utf-8", errors="replace") if log.exists() else ""
    times = [(float(t), words) for t, words in re.findall(r"^\+ (\d+\.\d+) (.*)$", text, re.MULTILINE)]
    for (began, words), (ended, _) in pairwise(times):
        if "pip install" in words:
            share, seconds = cached(), ended - began
            told = f"pip install: {seconds:.0f} s, {share:.0%} of it from the compiler cache"
            late = seconds > MOST_INSTALL_SECONDS and share <= COLD
            return told, [f"{told}, at most {MOST_INSTALL_SECONDS} s when cold"] if late else []
    return "pip install: not measured", []


def stub() -> tuple[str, list[str]]:
    name = "python/twintrack/_core.pyi"
    lines = (TOP / name).read_text(encoding="utf-8").count("\n")
    return f"{name}: {lines} lines", [
        f"{name}: {lines} lines, at most {MOST_STUB_LINES}"
    ] if lines > MOST_STUB_LINES else []


def main() -> int:
    largest, complaints = compilers()
    for one in (install(), stub()):
        largest.append(one[0])
        complaints += one[1]
    print(*steps(), *largest, *(f"BEYOND ITS LIMIT: {text}" for text in complaints), sep="\n")
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main())
