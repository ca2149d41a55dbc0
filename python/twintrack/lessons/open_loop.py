# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 1: the body without a controller; answers by the textbook's formulas."""

from __future__ import annotations

from .. import _core
from ..parts.catalogue import body
from .lesson import Lesson, Question, Setting

_BODY = "set-a"


def _mechanics() -> _core.BodyMechanics:
    return body(_BODY).mechanics


def _damping(m: _core.BodyMechanics) -> float:
    """Viscous friction and back-EMF together, d + K²/R [N·m·s/rad]."""
    return m.friction.viscous + m.motor.constant**2 / m.motor.resistance


def _electrical() -> float:
    motor = _mechanics().motor
    return 1e3 * motor.inductance / motor.resistance


def _mechanical() -> float:
    m = _mechanics()
    return 1e3 * m.inertia / _damping(m)


def _slow() -> float:
    m = _mechanics()
    return _damping(m) / m.springs.open_rate


def _hold(share: float, opening: bool) -> float:
    m = _mechanics()
    angle = m.stops.closed_angle + share * (m.stops.open_angle - m.stops.closed_angle)
    return _core.hold_voltage(m, angle, opening=opening)


LESSON = Lesson(
    "open loop",
    "Open loop and time constants",
    "1_open_loop.md",
    (
        Question(
            "electrical time constant",
            "Time constant of the current while the blade stands still [ms]?",
            _electrical,
            "The winding is a resistance in series with an inductance: L/R.",
        ),
        Question(
            "mechanical time constant",
            "Time constant of the blade's speed [ms]?",
            _mechanical,
            "Inertia over damping, J/(d + K²/R); the motor's back-EMF damps more than the bearings do.",
            0.08,
        ),
        Question(
            "slow time constant",
            "Time constant with which the blade creeps to its final angle [s]?",
            _slow,
            "The spring pulls against the damping: (d + K²/R)/k.",
        ),
        Question(
            "opening voltage",
            "Voltage at which the blade leaves the closed stop [V]?",
            lambda: _hold(0.0, True),
            "Torque of the spring at the closed stop plus sliding friction, times R/K.",
            0.02,
        ),
        Question(
            "voltage span",
            "By how many volts must a slow opening ramp rise from the first movement to the open stop [V]?",
            lambda: _hold(1.0, True) - _hold(0.0, True),
            "Friction is the same everywhere; only the spring's torque grows, by k times the travel.",
        ),
        Question(
            "closing voltage",
            "At half opening, to which voltage must a slow ramp fall before the blade begins to close [V]?",
            lambda: _hold(0.5, False),
            "Now friction helps the motor: torque of the spring minus friction, times R/K.",
        ),
        Question(
            "twice the voltage",
            "2.9 V open the blade by 0.69 rad. How far do 5.8 V open it?",
            lambda: "to the open stop" if _hold(1.0, True) < 5.8 else "twice as far",
            "Compare 5.8 V with the voltage at which a slow ramp arrives at the open stop.",
            choices=("twice as far", "to the open stop", "as far as before"),
        ),
    ),
    Setting(body=_BODY),
)
