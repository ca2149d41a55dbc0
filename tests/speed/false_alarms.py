# SPDX-License-Identifier: BSD-3-Clause
"""False alarms of healthy benches.

    python tests/speed/false_alarms.py [BENCHES] [MINUTES] [MONITOR] [SHARE]

Benches of all pairs of built-in parts with tolerances of their own, each driven for some minutes in lanes
under the monitor "default" or "strict". What a learn sees (tracks, springs) is drawn once for 64 benches,
which share their learn; supply, temperature, wear, noise and the drive are each bench's own.

A SHARE of the benches (default 0.05) also meets supply profiles of ISO 16750-2 (momentary drop, engine starts
I to IV; levels known second-hand) and a supply that falls slowly; what lanes refuse of these runs in the
exact solver. Their codes of the supply (P056x) are counted apart, as are events; any other code is a false
alarm, and named with its bench.
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
SUPPLY = "P056"  # what a starved controller may and should report
PROFILES = ["momentary_drop", *(f"start_level_{k}" for k in range(1, 5))]
LONGEST = 12.0  # [s] of a profile


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


def profiles(random, seconds):
    """Profiles one after the other over the drive; one in six is a slow fall, back at once."""
    faults, at = [], random.uniform(2.0, 10.0)
    while at + LONGEST < seconds:
        end = at + LONGEST
        if random.random() < 1.0 / 6.0:
            fall = {"what": "scale", "amount": random.uniform(0.0, 0.6), "ramp": random.uniform(2.0, 10.0)}
        else:
            fall = {"what": str(random.choice(PROFILES))}
        faults.append(_core.Fault(where="supply", start=at, end=end, **fall))
        at = end + random.uniform(1.0, 20.0)
    return faults


def run_all(cases, learned, faulted):
    """Result of each case that a code may have been set in, None for the others; how many ran exactly."""
    results, exact = [None] * len(cases), 0
    healthy = [k for k in range(len(cases)) if not faulted[k]]
    if healthy:
        found = _core.lane_figures([cases[k] for k in healthy], [learned] * len(healthy))["codes"]
        healthy = [k for k, codes in zip(healthy, found, strict=True) if codes != 0]
    again = healthy + [k for k in range(len(cases)) if faulted[k]]
    ran = _core.run_batch([cases[k] for k in again], [learned] * len(again), signals=["duty"], threads=2)
    for k, one in zip(again, ran, strict=True):
        results[k] = one.result
        exact += one.solver == "exact"
    return results, exact


def main(benches=10_000, minutes=10.0, monitor="default", share=0.05, seed=1):
    random = np.random.default_rng(seed)
    codes, supply, events = Counter(), Counter(), Counter()
    quiet = refused = exact = starved = 0
    began = time.perf_counter()
    for first in range(0, benches, SHARING):
        p, learned, name = built(random, MONITORS[monitor])
        count = min(SHARING, benches - first)
        if not learned.accepted:
            refused += count
            continue
        seconds = 60.0 * minutes
        cases, shaken = [], []
        for k in range(count):
            faults = profiles(random, seconds) if random.random() < share else []
            shaken.append(faults)
            bench, foot = used(random, p, first + k), drive(random, seconds)
            cases.append(_core.Case(parameters=bench, stroke=foot, faults=faults))
        results, exactly = run_all(cases, learned, [bool(faults) for faults in shaken])
        exact, starved = exact + exactly, starved + sum(map(bool, shaken))
        for k, result in enumerate(results):
            told = [] if result is None else list(result.codes)
            alarms = [c for c in told if not (shaken[k] and c.code.startswith(SUPPLY))]
            supply.update(c.text for c in told if c not in alarms)
            if result is not None:
                events.update(e.code.text for e in result.history.entries() if not e.code.failure_type)
            failed = result is not None and result.outcome.status != "completed"
            quiet += not alarms and not failed
            codes.update(c.code for c in alarms)
            if alarms or failed:
                text = " ".join(f"{c.text} {c.confirmed:.3f} s" for c in told)
                said = text or result.outcome.status
                met = " ".join(f"{f.what} {f.start:.3f} s" for f in shaken[k])
                print(f"bench {first + k}, {name}: {said} {met}", flush=True)
        print(f"{first + count} benches, {benches - refused - quiet} left", file=sys.stderr, flush=True)
    seconds = time.perf_counter() - began
    print(f"{benches} benches × {minutes:g} min, monitor {monitor}: {quiet} quiet, {refused} learns refused")
    print(f"{starved} of them with supply profiles, {exact} runs in the exact solver")
    print(f"{60 * minutes * (benches - refused):.3g} s simulated in {seconds:.0f} s")
    for title, counted in (("false", codes), ("supply", supply), ("event", events)):
        for what, count in sorted(counted.items()):
            print(f"{title}: {what}: {count}")
    return 0


if __name__ == "__main__":
    words = sys.argv[1:]
    sys.exit(main(*(kind(word) for kind, word in zip((int, float, str, float), words, strict=False))))
