# SPDX-License-Identifier: BSD-3-Clause
"""Lanes against the exact solver on mixed cases: `python lane_agreement.py [CASES] [SEED] [STEP]`.

STEP is that of the lanes, in seconds. Prints every case of which a verdict column differs, and whether the
exact solver shows both verdicts near it; then how often the exact solver differs from itself: under a
tolerance a hundred times tighter, and, of the first thousand cases, under another draw of the noise. Ends
with status 1 when more than 0.1 % of the verdict columns differ, or one difference has no explanation.
"""

from __future__ import annotations

import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "python"))
import agreement

CHUNK = 500
ITSELF = 1000  # cases of which the exact solver is held against itself
OTHER_DRAW = 10_000_019  # added to the case number
TIGHT = 1e-8  # relative tolerance; the default is 1e-6


def main(count=10_000, seed=1, substep=2e-4):
    many = agreement.mixed(count, seed)
    lanes = exact = 0.0
    differ, columns, unexplained, tighter, by_chance, answers = 0, 0, 0, 0, 0, {}
    with ThreadPoolExecutor() as pool:
        for begin in range(0, count, CHUNK):
            part = many[begin : begin + CHUNK]
            began = time.perf_counter()
            ours = list(agreement.in_lanes(part, substep=substep))
            between = time.perf_counter()
            theirs = list(pool.map(lambda m: agreement.exact(m.case, m.learned), part))
            lanes, exact = lanes + between - began, exact + time.perf_counter() - between
            tight = (agreement.changed(m, tolerance=TIGHT) for m in part)
            tight = pool.map(agreement.exact, tight, [m.learned for m in part])
            tighter += sum(a != b for a, b in zip(tight, theirs, strict=True))
            if begin < ITSELF:
                other = pool.map(lambda m: agreement.exact(agreement.redrawn(m, OTHER_DRAW), m.learned), part)
                by_chance += sum(a != b for a, b in zip(other, theirs, strict=True))
            for m, a, b in zip(part, ours, theirs, strict=True):
                answers[b[0]] = answers.get(b[0], 0) + 1
                if a == b:
                    continue
                differ += 1
                columns += agreement.apart(a, b)
                near = agreement.explained(m, a, b)
                unexplained += not near
                print(f"{m.label}: {agreement.told(a, b)} ({'near its limit' if near else 'NOT EXPLAINED'})")
            print(f"{begin + len(part)} cases, {differ} differ", file=sys.stderr, flush=True)
    told = ", ".join(f"{n} {answer}" for answer, n in sorted(answers.items()))
    every = count * agreement.columns()
    print(f"{count} cases ({told}): all columns equal on {1 - differ / count:.2%}, {unexplained} unexplained")
    print(f"{every} verdict columns: equal on {1 - columns / every:.3%}")
    print(f"the exact solver and itself under a tighter tolerance: {tighter} cases differ")
    itself = min(count, ITSELF)
    share = by_chance / itself
    print(f"the exact solver and itself under another draw: {share:.2%} of {itself} cases differ")
    print(f"lanes {lanes:.0f} s, exact solver {exact:.0f} s, with records and rules")
    return 1 if columns > 1e-3 * every or unexplained else 0


if __name__ == "__main__":
    sys.exit(main(*(kind(word) for kind, word in zip((int, int, float), sys.argv[1:], strict=False))))
