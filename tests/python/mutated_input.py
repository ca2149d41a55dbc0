# SPDX-License-Identifier: BSD-3-Clause
"""Mutated studies, parts, learned ranges and calls, drawn by a seed, and what becomes of them.

    python tests/python/mutated_input.py [COUNT [SEED]]

A mutant that is certainly wrong must be refused; any other may be taken, and then its first case must run.
Counted are tracebacks (any error but the two that tell a user of an error, ValueError and TypeError), late
answers, wrong input taken in silence and long messages: all must be 0.
"""

from __future__ import annotations

import random
import resource
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from mutated_calls import call_mutant, calls
from mutated_files import Mutant, Refused, file_mutant

LATE = 10.0  # [s]
LONG = 2000  # [bytes] of a message


def mutants(count: int, seed: int, folder: Path) -> list[Mutant]:
    draw = random.Random(seed)
    known = calls()
    made = [
        call_mutant(draw, known) if draw.random() < 0.35 else file_mutant(draw, folder, number)
        for number in range(count)
    ]
    return made


def outcome(mutant: Mutant) -> str:
    """One of "refused", "taken", "traceback", "late", "silent", "long"."""
    begun = time.monotonic()
    try:
        mutant.attempt()
        found = "silent" if mutant.wrong else "taken"
    except Refused as error:
        found = "long" if len(str(error).encode("utf-8", "replace")) > LONG else "refused"
    except Exception as error:
        print(f"{mutant.name}\n{''.join(traceback.format_exception(error)[-3:])[-1500:]}", file=sys.stderr)
        found = "traceback"
    if time.monotonic() - begun > LATE:
        found = "late"
    if found not in ("refused", "taken"):
        print(f"{found}: {mutant.name}", file=sys.stderr)
    return found


def count(number: int, seed: int) -> Counter[str]:
    """What became of ``number`` mutants."""
    with tempfile.TemporaryDirectory() as folder:
        return Counter(outcome(mutant) for mutant in mutants(number, seed, Path(folder)))


if __name__ == "__main__":
    if sys.platform == "linux":  # what would fill the memory is a fault here, not elsewhere
        resource.setrlimit(resource.RLIMIT_AS, (6 << 30, 6 << 30))
    number, seed = (int(a) for a in [*sys.argv[1:], *["1000", "1"][len(sys.argv) - 1 :]])
    found = count(number, seed)
    print(f"{number} mutants, seed {seed}: " + ", ".join(f"{n} {what}" for what, n in sorted(found.items())))
    sys.exit(bool(found.keys() - {"refused", "taken"}))
