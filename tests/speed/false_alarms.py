# SPDX-License-Identifier: BSD-3-Clause
"""False alarms of healthy benches: `python tests/speed/false_alarms.py [BENCHES] [MINUTES] [MONITOR]`.

Benches of all pairs of built-in parts with tolerances of their own, each driven for some minutes in lanes
under the monitor "default" or "strict". What a learn sees (tracks, springs) is drawn once for 64 benches,
which share their learn; supply, temperature, wear, noise and the drive are each bench's own. Counts codes,
and names the benches that set one.
"""

from __future__ import annotations

import sys
import time
from collections import Counter

import numpy as np

import twintrack as tt
from twintrack import _core

MONITORS = {"default": _core.MonitorParameters, "strict": _core.monitor_strict}
SHARING = 64  # as many as two blocks of lanes take


def drive(random, seconds):
    """A foot in traffic: presses and releases of any speed, holds of one to eight seconds."""
    times, travel = [0.0, 0.4], [0.0, 0.0]
    while times[-1] < seconds:
        goal = 0.0 if random.random() < 0.25 else random.beta(1.2, 2.5)
        times += [times[-1] + random.uniform(0.05, 1.5)]
        times += [times[-1] + random.uniform(1.0, 8.0)]
        travel += [goal, goal]
    return tt.Stroke(time=times, travel=travel)


def scaled(parameters, path, factor):
    value = parameters
    for name in path.split("."):
        value = getattr(value, name)
    return {path: factor * value}


def built(random, monitor):
    """A pair with tracks and springs of its own, and its learn."""
    pedal, body = random.choice(list(tt.pedals())), random.choice(list(tt.bodies()))
    p = _core.BenchParameters(pedal=tt.pedals()[pedal], body=tt.bodies()[body], wiring={"kind": "ideal"})
    own = {"monitor": monitor(), "acquisition.bits": int(random.choice([10, 12]))}
    for name in ("open_rate", "close_rate", "open_preload", "close_preload"):
        own |= scaled(p, f"body.mechanics.springs.{name}", random.uniform(0.92, 1.08))
    for side in ("pedal", "body"):
        for k, track in enumerate(getattr(p, side).tracks, 1):
            gain = random.uniform(0.985, 1.015)
            own[f"{side}.tracks[{k}].ratio"] = [gain * r for r in track.ratio]
    p = p.replace(own)
    learned = _core.run_learn(_core.Case(parameters=p, stroke=tt.Stroke.rest(1.0))).result
    return p, learned, f"{pedal} × {body}"


def used(random, p, number):
    """The same pair on some day: supply, temperature, wear, noise."""
    wear = random.uniform(0.7, 1.4)
    own = {"case_number": number, "supply": float(np.clip(random.normal(13.5, 0.7), 11.0, 15.0))}
    for name in ("coulomb", "breakaway", "viscous"):
        own |= scaled(p, f"body.mechanics.friction.{name}", wear)
    own |= scaled(p, "body.mechanics.motor.resistance", random.uniform(0.95, 1.05))
    own["body.mechanics.motor.temperature"] = random.uniform(-20.0, 100.0)
    noise = random.uniform(0.0, 0.001)
    for side in ("pedal", "body"):
        own |= {f"{side}.tracks[{k}].noise": noise for k in range(1, 1 + len(getattr(p, side).tracks))}
    return p.replace(own)


def main(benches=10_000, minutes=10.0, monitor="default", seed=1):
    random = np.random.default_rng(seed)
    codes, quiet, refused, began = Counter(), 0, 0, time.perf_counter()
    for first in range(0, benches, SHARING):
        p, learned, name = built(random, MONITORS[monitor])
        count = min(SHARING, benches - first)
        if not learned.accepted:
            refused += count
            continue
        cases = [
            _core.Case(parameters=used(random, p, first + k), stroke=drive(random, 60.0 * minutes))
            for k in range(count)
        ]
        found = _core.lane_figures(cases, [learned] * count)["codes"]
        loud = [k for k in range(count) if found[k] != 0]
        quiet += count - len(loud)
        for k in loud:
            result = _core.run_lanes([cases[k]], [learned])[0]
            codes.update(code.code for code in result.codes)
            told = " ".join(f"{code.text} {code.confirmed:.3f} s" for code in result.codes)
            print(f"bench {first + k}, {name}: {told or result.outcome.status}", flush=True)
        print(f"{first + count} benches, {benches - refused - quiet} left", file=sys.stderr, flush=True)
    seconds = time.perf_counter() - began
    print(f"{benches} benches × {minutes:g} min, monitor {monitor}: {quiet} quiet, {refused} learns refused")
    print(f"{60 * minutes * (benches - refused):.3g} s simulated in {seconds:.0f} s")
    for code, count in sorted(codes.items()):
        print(f"{code}: {count}")
    return 0


if __name__ == "__main__":
    words = sys.argv[1:]
    sys.exit(main(*(kind(word) for kind, word in zip((int, float, str), words, strict=False))))
