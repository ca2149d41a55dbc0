# SPDX-License-Identifier: BSD-3-Clause
"""From a bench log to a pairing study: an invented body is "measured", identified, and paired.

The truth is a built-in body with every parameter changed, unknown to the fit. What a test stand would log
of it is simulated: a track of 3 mV noise, 0.6 ms late, a current of 30 mA noise, both behind 12 bits. The
fit starts from the built-in body.

Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.

Usage: python examples/identify.py FOLDER
"""

import sys
from pathlib import Path

import numpy as np

import twintrack as tt
from twintrack import identify
from twintrack.identify.report import headline, write

SECONDS = 10.0
FOLDER = Path(sys.argv[1] if len(sys.argv) > 1 else "identified")
STUDY = """\
title  = "A pedal meets the identified body"
pedals = ["half-slope-low"]
bodies = ["half-slope-six", "body.toml"]
learn  = ["none", "stale", "fresh"]
"""


def secret(guess: tt.ThrottleBodyParameters) -> tt.ThrottleBodyParameters:
    """The body on the stand: up to 15 % from the guess in everything that is identified."""
    draw = np.random.default_rng(2026)
    motor, springs, friction = (getattr(guess.mechanics, n) for n in ("motor", "springs", "friction"))
    parts = {"motor": motor, "springs": springs, "friction": friction, "": guess.mechanics}
    changes = {}
    for name in identify.UNKNOWNS:
        part, _, field = name.rpartition(".")
        changes[f"mechanics.{name}"] = getattr(parts[part], field) * draw.uniform(0.85, 1.15)
    return guess.replace(changes)


guess = tt.body("half-slope-six")
truth = secret(guess)
FOLDER.mkdir(parents=True, exist_ok=True)

voltage = identify.strokes(guess.mechanics, SECONDS, seed=8)
seen = identify.measure(truth, voltage, resistance=0.05, instruments=identify.Instruments(angle_delay=0.6e-3))
seen.to_csv(FOLDER / "bench.csv")

log = identify.prepare(identify.read(FOLDER / "bench.csv"), guess, resistance=0.05)
found = identify.identify(log, guess)
write(found, FOLDER)
print(headline(found))
for name in identify.UNKNOWNS:
    e = found[name]
    part, _, field = name.rpartition(".")
    true = getattr(getattr(truth.mechanics, part) if part else truth.mechanics, field)
    print(f"{name:24s} {e.value:10.5g} {e.unit:10s} {e.low:10.5g} … {e.high:<10.5g} true {true:.5g}")

tuned = tt.tune(found.body, phase_margin=45.0, draws=64, generations=1)
print(f"\ngains for the identified body:\n{tuned}")

(FOLDER / "study.toml").write_text(f"{STUDY}\n{tuned.toml}", encoding="utf-8")
print(f"\nnow: twintrack run {FOLDER / 'study.toml'} --out {FOLDER / 'paired'}")
