# SPDX-License-Identifier: BSD-3-Clause
"""What a case costs in lanes by its kind: `python tests/speed/kinds.py [ROUNDS]`, twintrack installed.

The job is that of peers/loop_numbers.py, ideally wired and with the default harness. Kinds: monitor set-ups,
and faults that set a code in the second second of ten. Rates are simulated seconds a second of one core's
time; each is divided by that of the healthy default case of the same round, and the medians are printed.
Ends with status 1 when a kind runs at less than 60 % of the healthy default with the harness, the bench as
it is by default, or at less than half ideally wired.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "peers"))
import loop_numbers

from twintrack import _core

COUNT = 96
LEAST = 0.6
BEGIN = 1.3  # [s] of a fault


def fault(where, what, amount):
    return {"faults": [_core.Fault(where=where, what=what, amount=amount, start=BEGIN)]}


def monitor(parameters):
    return {"parameters": {"monitor": parameters}}


#: What of a case is not as in the healthy default one.
KINDS = {
    "healthy, default": {},
    "healthy, strict": monitor(_core.monitor_strict()),
    "healthy, graded": monitor(_core.monitor_graded()),
    "pedal track 2 at rest": fault("pedal.track2", "gain", 0.0),
    "pedal track 1 at rest": fault("pedal.track1", "gain", 0.0),
    "pedal track 2 offset": fault("pedal.track2", "offset", 0.15),
    "throttle track 2 at rest": fault("throttle.track2", "gain", 0.0),
    "throttle track 1 frozen": fault("throttle.track1", "frozen", 0.0),
    "blade jammed": fault("body.friction", "scale", 20.0),
    "throttle track 1 low": fault("throttle.track1", "offset", -1.0),
    "pedal track 2 low, graded": monitor(_core.monitor_graded()) | fault("pedal.track2", "offset", -1.0),
    "pedal track 1 low, graded": monitor(_core.monitor_graded()) | fault("pedal.track1", "offset", -1.0),
    "pedal track 2 at rest, strict": monitor(_core.monitor_strict()) | fault("pedal.track2", "gain", 0.0),
}


def cases(wiring):
    """The cases of every kind, and the learn that all share."""
    healthy, learned = loop_numbers.cases(COUNT, wiring={"kind": wiring})

    def made(case, parameters=None, faults=()):
        changed = case.parameters.replace(parameters or {})
        return _core.Case(parameters=changed, stroke=case.stroke, faults=list(faults))

    return {name: [made(c, **kind) for c in healthy] for name, kind in KINDS.items()}, learned


def rate(many, learned):
    """Simulated seconds a second of one core's time, and the mean number of codes."""
    began = time.process_time()
    figures = _core.lane_figures(many, [learned] * len(many), threads=1)
    spent = time.process_time() - began
    return loop_numbers.SECONDS * len(many) / spent, figures["codes"].mean()


def main(rounds=3):
    slow = []
    for wiring in ("ideal", "harness"):
        kinds, learned = cases(wiring)
        all_rounds = [{name: rate(many, learned) for name, many in kinds.items()} for _ in range(rounds)]
        print(f"\n{wiring + ' wiring':28}{'sim s/s':>10}{'of healthy':>12}{'codes':>8}")
        for name in kinds:
            median = statistics.median(r[name][0] for r in all_rounds)
            share = statistics.median(r[name][0] / r["healthy, default"][0] for r in all_rounds)
            print(f"{name:28}{median:10.0f}{share:12.2f}{all_rounds[0][name][1]:8.1f}")
            slow += [f"{name}, {wiring}"] * (share < LEAST)
    for name in slow:
        print(f"MISSED: {name}")
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
