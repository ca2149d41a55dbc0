# SPDX-License-Identifier: BSD-3-Clause
"""Range learns in lanes against the exact solver: `python tests/speed/learn_agreement.py [CASES [SEED]]`.

Draws pairs of the built-in parts with scattered values, harness or ideal wiring, and in two thirds of the
cases something that goes wrong. Compares verdict, reason, step and learned readings, and the speed of one
core.
Ends with status 1 when fewer than 99.5 % agree.
"""

from __future__ import annotations

import collections
import sys
import time
from dataclasses import dataclass, field

import numpy as np

import twintrack as tt
from twintrack import _core

SHARE = 0.995
REWIRED = ("leads_reversed", "tracks_exchanged")  # a harness alone can be wired otherwise


def disturbance(rng, disturbances):
    """Something that goes wrong, of an amount and at a place that there are."""
    what = disturbances[rng.integers(len(disturbances))]
    amount = None if what.least == what.most else float(rng.uniform(what.least, what.most))
    return _core.LearnDisturbance(what.name, amount, str(rng.choice(what.places)) if what.places else "")


def drawn(rng, disturbances):
    """One case and what goes wrong in it."""
    pedal, body = rng.choice(sorted(tt.pedals())), rng.choice(sorted(tt.bodies()))
    wrong = [disturbance(rng, disturbances)] if rng.uniform() < 2 / 3 else []
    rewired = any(w.name in REWIRED for w in wrong)
    kind = "harness" if rewired or rng.uniform() < 0.5 else "ideal"
    bench = tt.Bench(pedal=str(pedal), body=str(body), wiring={"kind": kind}, seed=int(rng.integers(1 << 30)))
    m = bench.parameters.body.mechanics
    scale = rng.uniform(0.9, 1.1, 3)
    parameters = bench.parameters.replace(
        {
            "supply": rng.uniform(10.5, 14.5),
            "body.mechanics.friction.coulomb": m.friction.coulomb * scale[0],
            "body.mechanics.friction.breakaway": m.friction.breakaway * scale[0],
            "body.mechanics.motor.resistance": m.motor.resistance * scale[1],
            "body.mechanics.inertia": m.inertia * scale[2],
        }
    )
    return _core.Case(parameters=parameters, disturbances=wrong), wrong


def codes_apart(a, b):
    """Largest distance of two learned ranges at the ends and anywhere [codes of a converter of 12 bits]."""
    pairs = zip([*a.pedal, *a.throttle], [*b.pedal, *b.throttle], strict=True)
    gaps = [4095 * np.abs(np.subtract(x.curve, y.curve)) for x, y in pairs]
    return max(max(g[0], g[-1]) for g in gaps), max(g.max() for g in gaps)


def ending(result):
    """What a learn came to."""
    return result.accepted, result.refusal, result.stopped_in


@dataclass
class Comparison:
    """Two answers to the same cases, one after the other."""

    name: str
    otherwise: list = field(default_factory=list)  # number and both reasons
    ends: list = field(default_factory=list)  # of those that end alike and accepted [codes]
    curves: list = field(default_factory=list)

    def add(self, number, a, b):
        """One case."""
        if ending(a) != ending(b):
            self.otherwise.append((number, a.reason or "accepted", b.reason or "accepted"))
        elif a.accepted:
            ends, curves = codes_apart(a.range, b.range)
            self.ends.append(ends)
            self.curves.append(curves)

    def share(self, count):
        """Of the cases that end alike, their ends within a code."""
        return 1 - (len(self.otherwise) + sum(e > 1 for e in self.ends)) / count

    def tell(self, count):
        """A few lines."""
        far = sum(e > 1 for e in self.ends)
        typical, rare = np.quantile(self.curves, [0.5, 0.99])
        print(f"{self.name}: {100 * self.share(count):.2f} % alike; {len(self.otherwise)} end otherwise,")
        print(f"  {far} ends further apart than a code (most {max(self.ends):.2f});")
        print(f"  curves {typical:.2f} codes apart, 99 % below {rare:.2f}, most {max(self.curves):.2f}")
        for number, a, b in self.otherwise[:12]:
            print(f"  case {number}: {a}\n{'':12}{b}")


def tighter(case, disturbances):
    """The same case with a tolerance a hundred times smaller."""
    parameters = case.parameters.replace({"tolerance": case.parameters.tolerance / 100})
    return _core.Case(parameters=parameters, disturbances=disturbances)


def timed(work):
    """What `work()` gave, and its seconds."""
    start = time.perf_counter()
    return work(), time.perf_counter() - start


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    rng = np.random.default_rng(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    catalogue = _core.disturbance_catalogue()
    drawn_cases = [drawn(rng, catalogue) for _ in range(count)]
    cases = [case for case, _ in drawn_cases]
    ours, lanes_time = timed(lambda: _core.run_learns(cases, threads=1))
    if any(o.result is None for o in ours):
        raise SystemExit("a case that no solver takes was drawn")
    theirs, exact_time = timed(lambda: [_core.run_learn(c).result for c in cases])
    lanes, itself = Comparison("lanes against exact"), Comparison("exact against itself")
    for number, (a, b) in enumerate(zip(ours, theirs, strict=True)):
        lanes.add(number, a.result, b)
    for number, (case, wrong) in enumerate(drawn_cases):
        itself.add(number, _core.run_learn(tighter(case, wrong)).result, theirs[number])
    ended = collections.Counter("accepted" if b.accepted else b.refusal for b in theirs)
    print(
        f"{count} learns, {sum(o.solver == 'lanes' for o in ours)} of them in lanes:",
        dict(ended.most_common()),
    )
    lanes.tell(count)
    itself.tell(count)
    mean = [1e3 * spent / count for spent in (lanes_time, exact_time)]
    print(f"ms a learn, one core: {mean[0]:.2f} as run_learns, {mean[1]:.2f} exact")
    return 1 if lanes.share(count) < SHARE else 0


if __name__ == "__main__":
    sys.exit(main())
