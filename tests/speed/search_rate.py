# SPDX-License-Identifier: BSD-3-Clause
"""What a search costs: `python tests/speed/search_rate.py [CANDIDATES]`, twintrack installed.

Candidates of ten seconds, each with a fault and a stroke of its own, judged against one rule, as a search
asks for them; beside the same cases handed to the lanes at once, without a search around them. Prints seconds
and runs a second, for the bench with ideal wiring and with the default harness. Ends with status 1 when the
search takes more than 1.3 times as long as its cases alone. That 2,000 candidates take at most 10 s on two
quiet cores is printed, not judged: it depends on the machine.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from twintrack import _core
from twintrack.experiments.adaptive import pursued
from twintrack.experiments.plan import load
from twintrack.files.toml_file import TomlFile

MOST = 1.3


def plan(wiring: str, runs: int):
    return load(
        TomlFile(
            Path("rate"),
            {
                "design": "search",
                "pedals": ["half-slope-low"],
                "bodies": ["opposed-six"],
                "learn": ["fresh"],
                "bench": {"wiring": {"kind": wiring}},
                "search": {
                    "runs": runs,
                    "population": 256,
                    "foot": {"knots": 4, "to": "9 s", "end": "10 s"},
                    "faults": [
                        {
                            "kinds": [
                                "pedal.track1 offset",
                                "throttle.track1 offset",
                                "throttle.track2 gain",
                            ],
                            "from": ["2 s", "8 s"],
                            "ramp": ["0 s", "1 s"],
                        }
                    ],
                },
            },
        )
    )


def main(candidates: int = 2000) -> int:
    slow = False
    for wiring in ("ideal", "harness"):
        made = plan(wiring, candidates)
        pursued(made, 256)  # loads what is loaded at first use
        began = time.perf_counter()
        rows = pursued(made, candidates)
        whole = time.perf_counter() - began
        cases = [made.case(k, {name: row[name] for name in made.names}) for k, row in enumerate(rows)]
        (learned,) = (one.result for one in _core.run_learns(cases[:1]))
        rule = made.design.rule
        began = time.perf_counter()
        ran = _core.run_batch(
            *(cases, [learned] * len(cases)),
            solver="lanes",
            rules=[rule],
            judges=[case.parameters for case in cases],
            threads=0,
        )
        alone = time.perf_counter() - began
        same = all(
            r.verdicts[0].finding == row[f"rule: {rule.name}"] for r, row in zip(ran, rows, strict=True)
        )
        told = f"{whole:.1f} s, {candidates / whole:.0f} a second; their cases alone {alone:.1f} s"
        ratio, verdicts = whole / alone, "the same" if same else "DIFFER"
        print(f"{wiring:8} {candidates} candidates of 10 s: {told}, ratio {ratio:.2f}; verdicts {verdicts}")
        slow |= ratio > MOST or not same
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
