# SPDX-License-Identifier: BSD-3-Clause
"""Lanes and their peers on one job, in one run: `python tests/speed/peers/compare.py`, twintrack installed.

loop_numbers.py says what the job is. Rates are simulated seconds per second of one core's time, medians of
rounds taken in turn, so that what disturbs the machine disturbs all. Numba is timed when it is installed and
named as missing when not. Ends with status 1 when a target is missed.
"""

from __future__ import annotations

import importlib.util
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import array_loop
import loop_numbers
import scalar_loop

from twintrack import _core

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))
from compare import boost  # noqa: E402

ROUNDS = 5
ARRAY_RUNS = 10_000  # NumPy's; timed over its first second of the job, which costs as much as any other


def compiled(source, folder):
    """A C++ peer as its user compiles it: for this very machine."""
    program = str(Path(folder, source.removesuffix(".cpp")))
    flags = ["-O3", "-march=native", "-std=gnu++20"]
    ours = [f"-I{HERE.parents[2] / folder}" for folder in ("include", "lib")]
    subprocess.run(["c++", *flags, *ours, *boost(), str(HERE / source), "-o", program], check=True)
    return program


def printed(*words):
    answer = subprocess.run(words, check=True, capture_output=True, text=True)
    return [float(word) for word in answer.stdout.split()]


def cpu(work):
    """CPU seconds of `work()` and its result."""
    began = time.process_time()
    result = work()
    return time.process_time() - began, result


class Job:
    """The job and every way to do it: each gives simulated seconds per CPU second and the mean error."""

    def __init__(self, folder):
        self.cases, self.learned = loop_numbers.cases(512)
        self.wired = loop_numbers.cases(256, wiring={"kind": "harness"})
        engine = _core.built_in_engines()[0]
        self.whole = loop_numbers.cases(64, wiring={"kind": "harness"}, engine=engine)
        self.numbers = loop_numbers.numbers(self.learned.range)
        self.travels = loop_numbers.travels()
        self.file = Path(folder, "numbers.txt")
        rows = {**self.numbers, "travels": tuple(self.travels)}
        lists = {n: v if isinstance(v, tuple) else (v,) for n, v in rows.items()}
        self.file.write_text(
            "\n".join(f"{n} {len(v)} " + " ".join(repr(float(x)) for x in v) for n, v in lists.items())
        )
        self.odeint_loop = compiled("odeint_loop.cpp", folder)
        self.multiply_add = compiled("multiply_add.cpp", folder)
        [self.operations] = printed(compiled("operations.cpp", folder))
        self.scalar = None
        if importlib.util.find_spec("numba"):
            import numba

            self.scalar = scalar_loop.make(self.numbers, numba.njit)
            self.scalar(1, self.travels[:10], 1)

    def lanes(self, job=None, **options):
        cases, learn = job or (self.cases, self.learned)
        learned = [learn] * len(cases)
        seconds, figures = cpu(lambda: _core.lane_figures(cases, learned, threads=1, **options))
        return loop_numbers.SECONDS * len(cases) / seconds, figures["mean_error"].mean()

    def exact(self, job=None):
        cases, learn = job or (self.cases, self.learned)
        seconds, _ = cpu(lambda: [_core.run_case(c, learned=learn) for c in cases[:20]])
        return loop_numbers.SECONDS * 20 / seconds, float("nan")

    def odeint(self):
        seconds, error = printed(self.odeint_loop, str(self.file), "60")
        return loop_numbers.SECONDS * 60 / seconds, error

    def numpy(self):
        part = self.travels[:1000]
        seconds, _ = cpu(lambda: array_loop.run(self.numbers, ARRAY_RUNS, part, 1))
        return len(part) * 1e-3 * ARRAY_RUNS / seconds, float("nan")

    def numba(self):
        if self.scalar is None:
            return float("nan"), float("nan")
        seconds, errors = cpu(lambda: self.scalar(200, self.travels, 1))
        return loop_numbers.SECONDS * 200 / seconds, errors.mean()

    def scaling(self):
        """Wall time on one thread over that on two."""
        learned = [self.learned] * len(self.cases)

        def wall(threads):
            began = time.perf_counter()
            _core.lane_figures(self.cases, learned, replicas=4, threads=threads)
            return time.perf_counter() - began

        return wall(1) / wall(2)


def measured(job):
    """Medians of the rates, and the mean errors, by name."""
    ways = {
        f"lanes, {name}": (lambda n=name: job.lanes(instruction_set=n)) for name in _core.instruction_sets()
    }
    ways |= {
        "lanes in steps of 0.1 ms": lambda: job.lanes(substep=1e-4),
        "lanes, with the harness": lambda: job.lanes(job.wired),
        "lanes, with harness and engine": lambda: job.lanes(job.whole),
        "exact solver": job.exact,
        "exact solver, with the harness": lambda: job.exact(job.wired),
        "exact solver, harness and engine": lambda: job.exact(job.whole),
        "Boost.Odeint dopri5 loop, C++": job.odeint,
        "NumPy over 10,000 runs": job.numpy,
        "Numba loop": job.numba,
    }
    rounds = [{name: way() for name, way in ways.items()} for _ in range(ROUNDS)]
    return {name: (statistics.median(r[name][0] for r in rounds), rounds[0][name][1]) for name in ways}


def main():
    with tempfile.TemporaryDirectory() as folder:
        job = Job(folder)
        peak = max(printed(job.multiply_add)[0] for _ in range(3))
        rates = measured(job)
        scaling = statistics.median(job.scaling() for _ in range(ROUNDS))
    best = f"lanes, {_core.instruction_sets()[-1]}"
    ours = rates[best][0]
    print(f"{'a closed loop of 10 s, one core':36}{'sim s/s':>12}{'lanes are':>12}{'mean error':>12}")
    for name, (rate, error) in rates.items():
        told = f"{error:.6f}" if error == error else "–"
        print(f"{name:36}{rate:12.0f}{ours / rate:11.1f}x{told:>12}")
    flops = job.operations
    used = ours * 1000 * flops / 1e9
    print(f"\nmultiply-add peak of one core {peak:.1f} Gflop/s")
    print(f"the lanes' {flops:.0f} flops a tick use {used / peak:.0%} of it")
    cores = os.cpu_count() or 1
    minutes = 1e7 / ours / 60 / scaling
    print(f"two threads on {cores} processors: {scaling:.2f} times one")
    print(f"1,000,000 cases of 10 s on two threads, extrapolated from {len(job.cases)}: {minutes:.1f} min")
    checks = [
        ("Boost.Odeint dopri5 loop, C++", 60.0),
        ("NumPy over 10,000 runs", 15.0),
        ("Numba loop", 12.0),
    ]
    missed = [
        name
        for name, least in checks
        if not ours / rates[name][0] >= least and rates[name][0] == rates[name][0]
    ]
    missed += ["two threads"] if scaling < 1.7 else []
    for name in missed:
        print(f"MISSED: {name}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
