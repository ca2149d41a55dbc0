# SPDX-License-Identifier: BSD-3-Clause
"""The job that lanes and peers are timed on, as numbers.

A closed loop of ten seconds: stroke, two pedal and two throttle tracks with noise, input filter, 12-bit
converter, learned ranges, pedal map, range, correlation and deviation checks with their debouncing, two
set-point filters, PID with feed-forward, averaged bridge, motor, gear with losses, bristle friction, two
springs, stops. Every run has its own friction and its own noise. Straight tracks without play, no brush drop:
what the peers would have to write beside that is taken out of the job. They are spared more: they draw noise
with their own generators, know no faults, no reaction but the motor off, and keep nothing but one figure.
"""

from __future__ import annotations

import math

import numpy as np

import twintrack as tt
from twintrack import _core

SECONDS = 10
STROKE = tt.Stroke(
    time=[0, 0.5, 0.6, 1.5, 1.6, 3, 3.1, 4, 5, 6, 6.1, 7, 8.5, 8.6, 10],
    travel=[0, 0, 0.5, 0.5, 0.9, 0.9, 0.1, 0.1, 0.7, 0.7, 0.3, 0.35, 0.3, 0.6, 0.6],
)


def parameters():
    """The bench of the job."""
    straight = {f"tracks[{k}].{name}": 0.0 for k in (1, 2) for name in ("bow", "hysteresis")}
    return _core.BenchParameters(
        pedal=tt.pedals()["half-slope-low"].replace(straight),
        body=tt.bodies()["half-slope-six"].replace(straight),
        wiring={"kind": "ideal"},
    )


def cases(count, **changes):
    """Cases with a friction of their own, and the learn that all share."""
    p = parameters().replace(changes)
    coulomb, breakaway = p.body.mechanics.friction.coulomb, p.body.mechanics.friction.breakaway
    many = []
    for k in range(count):
        extra = 0.1 * coulomb * math.sin(k)
        friction = {
            "body.mechanics.friction.coulomb": coulomb + extra,
            "body.mechanics.friction.breakaway": breakaway + extra,
        }
        many.append(_core.Case(parameters=p.replace(friction | {"case_number": k}), stroke=STROKE))
    return many, _core.run_learn(_core.Case(parameters=p, stroke=STROKE)).result


def _tracks(p, learned):
    pairs = list(zip([*p.pedal.tracks, *p.body.tracks], [*learned.pedal, *learned.throttle], strict=True))
    return {
        "rest_ratio": tuple(t.ratio[0] for t, _ in pairs),
        "span_ratio": tuple(t.ratio[1] - t.ratio[0] for t, _ in pairs),
        "learned_rest": tuple(float(c.curve[0]) for _, c in pairs),
        "learned_span": tuple(float(c.curve[-1] - c.curve[0]) for _, c in pairs),
        "noise": pairs[0][0].noise,
    }


def _control(p, learned, travel):
    gains = _core.tuned_gains(p.body.mechanics, 1e-3, p.acquisition.filter_time)
    old = gains.derivative_filter / (gains.derivative_filter + 1e-3)
    throttle = learned.throttle[0].curve
    return {
        "filter_decay": math.exp(-1e-3 / p.acquisition.filter_time),
        "alpha": 1.0 - math.exp(-1e-3 / p.controller.set_point_time),
        "twitch": learned.default_opening + p.controller.twitch_opening,
        "learned_default": p.body.mechanics.stops.closed_angle + learned.default_opening * travel,
        "kp": gains.proportional,
        "ki_step": 1e-3 * gains.integral,
        "d_old": old,
        "d_new": gains.derivative * (1.0 - old) / 1e-3,
        "tracking": min(1e-3 * math.sqrt(gains.integral / gains.derivative), 1.0),
        "dead_band": travel / (abs(float(throttle[-1] - throttle[0])) * 4095.0),
    }


def numbers(learned):
    """Everything the peers need, by name."""
    p = parameters()
    m = p.body.mechanics
    motor, s, f, e = m.motor, m.springs, m.friction, m.stops
    return {
        "inertia": m.inertia,
        "resistance": motor.resistance * (1 + 0.00393 * (motor.temperature - 20)),
        "inductance": motor.inductance,
        "k": motor.gear_ratio * motor.constant,
        "gear_loss": 1 - motor.gear_efficiency,
        **{n: getattr(s, n) for n in ("open_preload", "open_rate", "close_preload", "close_rate", "width")},
        **{n: getattr(f, n) for n in ("coulomb", "breakaway", "viscous")},
        "rest": s.rest_angle,
        "stribeck": f.stribeck_speed,
        "stiffness": f.bristle_stiffness,
        "damping": f.bristle_damping,
        "closed": e.closed_angle,
        "open": e.open_angle,
        "stop_stiffness": e.stiffness,
        "stop_damping": e.damping,
        "switch_resistance": p.bridge.switch_resistance,
        "supply": p.supply,
        "supply_resistance": p.bridge.supply_resistance,
        **_tracks(p, learned),
        **_control(p, learned, e.open_angle - e.closed_angle),
    }


def travels():
    """Pedal travel at each tick."""
    return np.interp(np.arange(SECONDS * 1000) * 1e-3, STROKE.time, STROKE.travel)
