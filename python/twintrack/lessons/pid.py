# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 2: the textbook's PID on a body with friction."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from .. import _core
from ..bench import BenchRun
from ..parts.catalogue import body
from . import measures
from .lesson import Lesson, Question, Setting

#: Contactless tracks, so that what hunts is the friction's doing; a plain PID.
_CLEAN: dict[str, Any] = {
    f"body.tracks[{k}].{name}": 0.0 for k in (1, 2) for name in ("hysteresis", "noise", "roughness")
}
_CLEAN |= {"controller.observer_pole": 0.0, "controller.feed_forward": False}
_CLEAN |= {f"controller.{name}": 0.0 for name in ("dead_band", "rest_band", "rest_limit")}
#: Deposits in the bore, after the range learn.
STICKY = {
    "body.mechanics.friction.breakaway": 0.3,
    "body.mechanics.friction.stribeck_speed": 0.05,
    "body.mechanics.friction.bristle_stiffness": 500.0,
}
_GAINS = {"proportional": 40.0, "derivative": 0.5}

SETTING = Setting(changes=_CLEAN, time=(0.0, 1.0, 1.3, 9.0))


def run_with(
    gains: Mapping[str, float], later: Mapping[str, Any] | None = None, stroke: _core.Stroke | None = None
) -> BenchRun:
    """A run with gains of the controller and changes after the learn; ``stroke`` defaults to the lesson's."""
    bench = SETTING.bench(**gains)
    if later:
        bench.parameters = bench.parameters.replace(dict(later))
    return bench.run(stroke or SETTING.stroke())


def _steady_error() -> float:
    record = run_with({"proportional": 60.0, "integral": 0.0, "derivative": 1.0}).record
    return float(100.0 * (record["set_point"] - record["blade.opening"])[-500:].mean())


def _period(integral: float) -> float:
    return measures.period(run_with(_GAINS | {"integral": integral}, STICKY))


def _remedy() -> str:
    """The change that ends the hunting."""
    tries = {
        "less break-away friction": {"body.mechanics.friction.breakaway": 0.1},
        "a battery with 1 V more": {"supply": 14.5},
        "a slower set-point filter": {"controller.set_point_time": 0.1},
    }
    swings = {
        name: measures.swing(run_with(_GAINS | {"integral": 1200.0}, STICKY | change))
        for name, change in tries.items()
    }
    return min(swings, key=lambda name: swings[name])


def damping_ratio(proportional: float, derivative: float) -> float:
    """ζ of J s² + a₁ s + a₀ with the winding's inductance and all lags left out."""
    m = body("opposed-six").mechanics
    torque = m.motor.constant * m.motor.gear_ratio * m.motor.gear_efficiency / m.motor.resistance  # [N·m/V]
    back = m.motor.constant * m.motor.gear_ratio
    a1 = m.friction.viscous + torque * (back + derivative)
    a0 = m.springs.open_rate + torque * proportional
    return a1 / (2.0 * math.sqrt(a0 * m.inertia))


def _formula() -> float:
    zeta = damping_ratio(60.0, 0.3)
    return 100.0 * math.exp(-math.pi * zeta / math.sqrt(1.0 - zeta**2))


def step_stroke() -> _core.Stroke:
    """Half a second after the twitch at 30 % of pedal travel, then 36 %."""
    return _core.Stroke(time=[0.0, 2.0, 2.001, 3.0], travel=[0.3, 0.3, 0.36, 0.36])


def _compare() -> str:
    gains = {"proportional": 60.0, "integral": 0.0, "derivative": 0.3, "set_point_time": 0.0}
    ran = measures.overshoot(run_with(gains, stroke=step_stroke()), 2.0)
    return "less" if ran < 0.8 * _formula() else "more" if ran > 1.2 * _formula() else "the same"


LESSON = Lesson(
    "pid",
    "PID and why friction hunts",
    "2_pid.md",
    (
        Question(
            "overshoot",
            "Overshoot by the formula of the second-order system, for 60 V/rad and 0.3 V s/rad [%]?",
            _formula,
            "ζ = a₁ / (2 √(a₀ J)), then 100 exp(−π ζ / √(1 − ζ²)).",
        ),
        Question(
            "friction and overshoot",
            "How does the overshoot of the run with friction compare with the formula's?",
            _compare,
            "Friction takes energy out of every swing; the linear formula has no friction.",
            choices=("more", "less", "the same"),
        ),
        Question(
            "steady error",
            "By how much of the travel does the blade stay below its set point without an integral part [%]?",
            _steady_error,
            "Read the last half second of the run: set point minus blade.",
            0.1,
        ),
        Question(
            "period",
            "Period of the hunting at an integral gain of 1,200 V/(rad s) [s]?",
            lambda: _period(1200.0),
            "Zoom in after 3 s and measure over several swings.",
            0.15,
        ),
        Question(
            "more integral",
            "What becomes of the period at 1,600 V/(rad s)?",
            lambda: "shorter" if _period(1600.0) < 0.9 * _period(1200.0) else "longer",
            "During a stand the integral must rise by the same voltage; how long does that take at "
            "the higher gain?",
            choices=("shorter", "longer", "the same"),
        ),
        Question(
            "remedy",
            "Which change ends the hunting at the same gains?",
            _remedy,
            "The blade jumps because friction falls once it moves. Which change removes that fall?",
            choices=("less break-away friction", "a battery with 1 V more", "a slower set-point filter"),
        ),
    ),
    SETTING,
)
