# SPDX-License-Identifier: BSD-3-Clause
"""Invented bodies measured on a simulated test stand and identified: how often the intervals hold the truth.

Usage: python recoveries.py [COUNT] [SECONDS] [JOBS]
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from typing import NamedTuple

import numpy as np

import twintrack as tt
from twintrack import identify
from twintrack.identify.problem import Problem, value_of
from twintrack.identify.reading import RawLog

UNKNOWNS = identify.UNKNOWNS
DELAY = 0.6e-3
RESISTANCE = 0.05


class Recovery(NamedTuple):
    """Per unknown of ``UNKNOWNS``: estimate, truth, interval, and the Cramér–Rao bound's deviation at the
    truth."""

    value: np.ndarray
    truth: np.ndarray
    low: np.ndarray
    high: np.ndarray
    bound: np.ndarray


def draw(seed: int):
    """A true body within 15 % of a built-in one, and a starting body whose every unknown is 20 % off."""
    rng = np.random.default_rng([seed, 99])
    base = tt.body("half-slope-six")

    def scattered(body, factors):
        changes = {
            f"mechanics.{n}": value_of(body.mechanics, n) * f for n, f in zip(UNKNOWNS, factors, strict=True)
        }
        least = changes["mechanics.friction.coulomb"] * 1.02
        changes["mechanics.friction.breakaway"] = max(changes["mechanics.friction.breakaway"], least)
        return body.replace(changes)

    true = scattered(base, rng.uniform(0.85, 1.15, len(UNKNOWNS)))
    return true, scattered(true, rng.choice([0.8, 1.2], len(UNKNOWNS)))


def log_of(true, start, seed: int, seconds: float, current: bool = True):
    instruments = identify.Instruments(angle_delay=DELAY)
    # Whoever runs the stand raises the voltage until the blade moves: levels suit the true body.
    voltage = identify.strokes(true.mechanics, seconds, seed=seed)
    seen = identify.measure(true, voltage, resistance=RESISTANCE, instruments=instruments, seed=seed)
    columns = {"time": seen.time, "voltage": seen.voltage, "angle": seen.angle}
    if current:
        columns["current"] = seen.current
    raw = RawLog(f"log {seed}", columns, len(seen.time), 0, ())
    return identify.prepare(raw, start, resistance=RESISTANCE)


def bound(true, log, names) -> np.ndarray:
    """Cramér–Rao: Fisher's information of normal noise, from the sensitivities at the truth."""
    tools = identify.Instruments()
    travel = true.mechanics.stops.open_angle - true.mechanics.stops.closed_angle
    codes = 2.0**tools.bits - 1.0
    track = np.hypot(tools.track_noise, tools.reference / codes / np.sqrt(12.0))
    amps = np.hypot(tools.current_noise, tools.current_range / codes / np.sqrt(12.0))
    scale = {n: value_of(true.mechanics, n) for n in names if "." in n or n == "inertia"}
    problem = Problem(log, true.mechanics, names, scale, track * travel / tools.track_span, amps, 5e-5)
    x = problem.start()
    x[names.index("angle_delay")] = DELAY / 1e-3
    slopes = problem.jacobian(x)
    seen = (
        np.abs(slopes).max(axis=0) > 0.0
    )  # a stop that is touched in the measured log only says nothing here
    deviation = np.full(len(names), np.inf)
    deviation[seen] = np.sqrt(np.diag(np.linalg.inv(slopes[:, seen].T @ slopes[:, seen])))
    return deviation * np.array([problem.step(n) for n in names])


def recover(seed: int, seconds: float = 5.0) -> Recovery:
    true, start = draw(seed)
    log = log_of(true, start, seed, seconds)
    found = identify.identify(log, start, starts=1, jobs=1)
    names = found.fit.problem.names
    bounds = dict(zip(names, bound(true, log, names), strict=True))
    of = [found[n] if n in names else None for n in UNKNOWNS]
    return Recovery(
        np.array([e.value if e else np.nan for e in of]),
        np.array([value_of(true.mechanics, n) for n in UNKNOWNS]),
        np.array([e.low if e else np.nan for e in of]),
        np.array([e.high if e else np.nan for e in of]),
        np.array([bounds.get(n, np.nan) for n in UNKNOWNS]),
    )


def summary(recoveries: list[Recovery]) -> dict[str, np.ndarray]:
    """Per unknown, where the log tells it: share of intervals that hold the truth; rms error over the bound;
    largest error; the bound; in how many logs it is told."""
    value, truth, low, high, bound_ = (np.array([r[k] for r in recoveries]) for k in range(5))
    told = np.isfinite(value)
    return {
        "coverage": ((low <= truth) & (truth <= high) & told).sum(axis=0) / told.sum(axis=0),
        "spread": np.sqrt(np.nanmean(((value - truth) / bound_) ** 2, axis=0)),
        "worst": np.nanmax(np.abs(value / truth - 1.0), axis=0),
        "bound": np.nanmean(bound_ / truth, axis=0),
        "told": told.sum(axis=0),
    }


def show(told: dict[str, np.ndarray]) -> None:
    print(f"{'unknown':24s} coverage  rms/bound   worst     bound")
    for k, name in enumerate(UNKNOWNS):
        row = [told[c][k] for c in ("coverage", "spread", "worst", "bound")]
        print(f"{name:24s} {100 * row[0]:7.1f} %  {row[1]:8.3f}  {100 * row[2]:7.3f} % {100 * row[3]:7.3f} %")
    all_in = float(np.average(told["coverage"], weights=told["told"]))
    print(f"coverage of all {told['told'].sum()} intervals: {100 * all_in:.2f} %")


def main(count: int = 200, seconds: float = 5.0, jobs: int = 2) -> int:
    with ProcessPoolExecutor(jobs) as pool:
        recoveries = []
        for k, one in enumerate(pool.map(recover, range(count), [seconds] * count)):
            recoveries.append(one)
            worst = np.nanmax(np.abs(one.value / one.truth - 1.0))
            print(f"{k:4d}  worst {100 * worst:.3f} %", flush=True)
            if k % 50 == 49 and k + 1 < count:
                show(summary(recoveries))
    told = summary(recoveries)
    show(told)
    all_in = float(np.average(told["coverage"], weights=told["told"]))
    good = 0.93 <= all_in <= 0.97 and told["spread"].max() <= 1.3
    stuck = int(sum(bool(np.any(np.abs(r.value - r.truth) > np.maximum(0.02 * r.truth, 5 * r.bound)))
                    for r in recoveries))  # fmt: skip
    print(f"stuck more than 2 % (and 5 bounds) off: {stuck}")
    return 0 if good and not stuck else 1


if __name__ == "__main__":
    given = sys.argv[1:]
    sys.exit(main(*(f(a) for f, a in zip((int, float, int), given, strict=False))))
