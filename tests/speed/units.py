# SPDX-License-Identifier: BSD-3-Clause
"""Controllers of one's own and sessions by hand: `python tests/speed/units.py`, twintrack installed.

Control ticks a second of a bench with its harness, best of several, all in one run: a whole run with the
built-in units, the same with a controller and with a monitor in Python, with the example's controller in C,
with that in a process of its own (by the clock on the wall, the others by processor time), a session stepped
from Python, and the time of a fork. Ends with status 1 when a Python controller makes
less than a third of the built-in one's rate, one in C less than 0.8 of it, or a fork takes longer than 100
ticks of a session.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import twintrack as tt
from twintrack.studies.isolated import Isolated

STROKE = tt.Stroke(time=[0, 0.5, 0.7, 1.5, 1.7, 3.0], travel=[0, 0, 0.5, 0.5, 0, 0])
TICKS = 3000


class Loop:
    """As little Python as a controller can be: the duty of a proportional loop."""

    def __init__(self, learned: tt.LearnedRange) -> None:
        (self.rest, self.full), (self.closed, self.open) = (
            side[0].curve[[0, -1]].tolist() for side in (learned.pedal, learned.throttle)
        )

    def step(self, seen: tt.ControlInput) -> tt.Command:
        pedal = (seen.pedal[0] - self.rest) / (self.full - self.rest)
        opening = (seen.throttle[0] - self.closed) / (self.open - self.closed)
        return tt.Command(mode="drive", duty=min(max(4.0 * (pedal - opening), -0.9), 0.9))


def shortest(work, repeats=7, clock=time.perf_counter):
    """Least time [s] and what the last call gave."""
    best = 1e9
    for _ in range(repeats):
        began = clock()
        last = work()
        best = min(best, clock() - began)
    return best, last


def in_turn(works, rounds=9):
    """Least processor time [s] of each: in turn, so that whatever else the machine does meets all alike."""
    best = dict.fromkeys(works, 1e9)
    for _ in range(rounds):
        for name, work in works.items():
            took, run = shortest(work, 1, time.process_time)
            assert run.outcome.ok, run.outcome.reason
            best[name] = min(best[name], took)
    return best


def compiled(folder):
    """The example's controller as a shared object."""
    source = Path(__file__).parents[2] / "examples" / "own_controller.c"
    made = str(Path(folder) / "own_controller.so")
    command = ["cc", "-std=c99", "-O2", "-shared", "-fPIC", "-I", str(tt.include_dir()), "-o", made]
    subprocess.run([*command, str(source)], check=True)
    return made


def isolated(bench, path):
    controller = Isolated(path, tick_limit=60.0)(bench.learned, bench.parameters, 0.001)
    return shortest(lambda: bench.run(STROKE, controller=controller), 2)


def stepped(bench):
    session = bench.session(STROKE)
    for _ in range(TICKS):
        session.step()
    return session


class Watch:
    """As little Python as a monitor can be."""

    def step(self, seen, last):
        return "motor off" if last.pedal > 2.0 else "none"


def main() -> int:
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    loop = Loop(bench.learned)
    with tempfile.TemporaryDirectory() as folder:
        path = compiled(folder)
        in_c = tt.SharedController(path)
        best = in_turn(
            {
                "built-in controller": lambda: bench.run(STROKE),
                "Python controller": lambda: bench.run(STROKE, controller=loop),
                "Python monitor": lambda: bench.run(STROKE, monitor=Watch()),
                "controller in C": lambda: bench.run(STROKE, controller=in_c),
            }
        )
        best["in its own process"], run = isolated(bench, path)
        assert run.outcome.ok, run.outcome.reason
    best["session from Python"], session = shortest(lambda: stepped(bench), clock=time.process_time)
    fork, _ = shortest(session.fork, 50, time.process_time)
    built_in, by_hand = best["built-in controller"], best["session from Python"]
    for name, seconds in best.items():
        print(f"{name:24}{TICKS / seconds:10,.0f} ticks/s{built_in / seconds:8.2f} x built-in")
    print(f"fork of a session of {TICKS / 1000:g} s: {1e6 * fork:.0f} µs, {fork / by_hand * TICKS:.0f} ticks")
    slow = built_in / best["Python controller"] < 1 / 3 or built_in / best["controller in C"] < 0.8
    return int(slow or fork / by_hand * TICKS > 100)


if __name__ == "__main__":
    sys.exit(main())
