# SPDX-License-Identifier: BSD-3-Clause
"""What identifying, linearising, tuning and diagnosing cost: `python tests/speed/identify_tune_explain.py`.

Seconds of processor and of wall, and for each job a ratio of processor time to a peer's in the same run. The
peer of all but linearising is a SciPy loop (`solve_ivp` LSODA at its defaults, restarted per tick) that
simulates the body alone, as long as the job's cases are: a job is as many times cheaper. The peer of
linearising is SciPy's `differentiate.jacobian` of that body. What is asked on two quiet cores stands beside
the wall's seconds. Ends with status 1 when a ratio is below its limit.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from scipy.differentiate import jacobian
from scipy.integrate import solve_ivp

import twintrack as tt
from twintrack import identify, linear
from twintrack.diagnosis.dictionary import DRAWS, dictionary_of, plan_of, study_of
from twintrack.diagnosis.explain import Diagnosis

sys.path.insert(0, str(Path(__file__).parents[1] / "python"))
import recoveries
from throttle_reference import Throttle

PERIOD = 1e-3
BODY = tt.body("half-slope-six")


def timed(work, repeats=1):
    """Least processor and wall seconds of `work()`, and what it gave."""
    best = [np.inf, np.inf]
    for _ in range(repeats):
        cpu, wall = time.process_time(), time.perf_counter()
        last = work()
        best = [min(best[0], time.process_time() - cpu), min(best[1], time.perf_counter() - wall)]
    return *best, last


def peer_second():
    """Processor seconds that the SciPy loop needs for a second of a moving blade."""
    bridge = tt.Bench(pedal="knee", body=BODY).parameters.bridge
    throttle = Throttle(BODY.mechanics, bridge, 13.5)
    duties = identify.strokes(BODY.mechanics, 1.0, seed=1) / 13.5

    def simulate():
        x = np.array([0.0, BODY.mechanics.springs.rest_angle, 0.0, 0.0])
        for duty in duties:
            x = solve_ivp(lambda _, y, d=duty: throttle.rates(y, "drive", d, 0.0), (0, PERIOD), x,
                          method="LSODA").y[:, -1]  # fmt: skip

    return timed(simulate, 2)[0], throttle


def identified():
    """Ten unknowns from 30 s of log."""
    true, start = recoveries.draw(3)
    log = recoveries.log_of(true, start, 3, 30.0)
    cpu, wall, found = timed(lambda: identify.identify(log, start))
    assert len([e for e in found.estimates if e.name in identify.UNKNOWNS]) == 10
    return cpu, wall


def dictionary(bench, folder):
    plan = plan_of(study_of(bench.parameters))
    cpu, wall, known = timed(lambda: dictionary_of(plan, cache=folder))
    model = Diagnosis(known)
    first = {"codes": ["P2138", "P2116"], "ground": "ground",
             "volts": [{"at": "pin pedal signal 1", "reads": "0.352 V"}]}  # fmt: skip
    model.next(model.explain(first))  # groups and cells are made once
    answer = timed(lambda: model.explain(first), 5)
    return len(plan.specs) * DRAWS * plan.design.stroke.duration, (cpu, wall), answer[:2]


def main():
    second, throttle = peer_second()
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    with tempfile.TemporaryDirectory() as folder:
        simulated, made, answered = dictionary(bench, folder)
    state = np.array([0.5, 0.8, 1.0, 1e-4])
    differences = timed(lambda: jacobian(lambda y: np.apply_along_axis(
        lambda x: np.array(throttle.rates(x, "drive", 0.2, 0.0)), 0, y), state), 5)[0]  # fmt: skip
    linearised = timed(lambda: linear.bench(BODY), 50)
    tuned = timed(lambda: tt.tune("set-a", draws=1000))
    jobs = [
        ("dictionary, every single fault × 20", made, 10.0, simulated * second, 40.0),
        ("answer", answered, 0.1, 10.0 * second, 20.0),
        ("identify ten from 30 s of log", identified(), 10.0, 30.0 * second, 0.15),
        ("linearise the whole bench", linearised[:2], 2e-3, differences, 1.0),
        ("tune with 1,000 draws", tuned[:2], 10.0, 1000 * 2.0 * second, 20.0),
    ]
    print(f"the peer needs {second:.2f} s for a second of the body alone\n")
    print(f"{'job':38}{'processor s':>12}{'wall s':>10}{'asked s':>9}{'times cheaper':>15}{'limit':>8}")
    missed = 0
    for name, (cpu, wall), asked, peer, limit in jobs:
        missed += peer / cpu < limit
        said = "" if peer / cpu >= limit else "  MISSED"
        print(f"{name:38}{cpu:12.4f}{wall:10.4f}{asked:9g}{peer / cpu:15.1f}{limit:8g}{said}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
