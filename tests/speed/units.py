# SPDX-License-Identifier: BSD-3-Clause
"""Controllers of one's own and sessions by hand: `python tests/speed/units.py`, twintrack installed.

Control ticks a second of a bench with its harness, best of several, all in one run: a whole run with the
built-in controller, the same with a Python controller, with the example's in C, with that in a process of its
own, a session stepped from Python, and the time of a fork. Ends with status 1 when a Python controller makes
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


def shortest(work, repeats=7):
    """Least wall time [s] and what the last call gave."""
    best = 1e9
    for _ in range(repeats):
        began = time.perf_counter()
        last = work()
        best = min(best, time.perf_counter() - began)
    return best, last


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


def main() -> int:
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    loop = Loop(bench.learned)
    built_in, _ = shortest(lambda: bench.run(STROKE))
    python, run = shortest(lambda: bench.run(STROKE, controller=loop))
    assert run.outcome.ok, run.outcome.reason
    with tempfile.TemporaryDirectory() as folder:
        path = compiled(folder)
        in_c, run = shortest(lambda: bench.run(STROKE, controller=tt.SharedController(path)))
        assert run.outcome.ok, run.outcome.reason
        apart, run = isolated(bench, path)
        assert run.outcome.ok, run.outcome.reason
    by_hand, session = shortest(lambda: stepped(bench))
    fork, _ = shortest(session.fork, 50)
    for name, seconds in (
        ("built-in controller", built_in),
        ("Python controller", python),
        ("controller in C", in_c),
        ("in its own process", apart),
        ("session from Python", by_hand),
    ):
        print(f"{name:24}{TICKS / seconds:10,.0f} ticks/s{built_in / seconds:8.2f} x built-in")
    print(f"fork of a session of {TICKS / 1000:g} s: {1e6 * fork:.0f} µs, {fork / by_hand * TICKS:.0f} ticks")
    return int(built_in / python < 1 / 3 or built_in / in_c < 0.8 or fork / by_hand * TICKS > 100)


if __name__ == "__main__":
    sys.exit(main())
