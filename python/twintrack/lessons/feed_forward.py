# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 3: the jump of the spring torque at the default position, and feed-forward of it."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..parts.catalogue import body
from . import measures
from .lesson import Lesson, Question, Setting

#: Gentle gains of a plain PID, so that what feed-forward does is large enough to read from a plot.
_GENTLE: dict[str, Any] = {
    "controller.proportional": 60.0,
    "controller.integral": 600.0,
    "controller.derivative": 1.0,
    "controller.observer_pole": 0.0,
    "controller.dead_band": 0.0,
}
SETTING = Setting(
    changes={
        f"body.tracks[{k}].{name}": 0.0 for k in (1, 2) for name in ("hysteresis", "noise", "roughness")
    },
    later=_GENTLE,
    time=(0.0, 1.0, 5.0, 6.0, 10.0, 11.0),
    travel=(0.0, 0.0, 0.2, 0.2, 0.0, 0.0),
)
_WEAK: dict[str, Any] = {"where": "body.return_spring", "what": "scale", "amount": 0.5}


def _held(offset: float) -> tuple[float, float]:
    """Holding voltages [V] of a blade sliding open and closed, ``offset`` [rad] from its default position."""
    m = body("opposed-six").mechanics
    angle = _core.default_angle(m) + offset
    return _core.hold_voltage(m, angle, opening=True), _core.hold_voltage(m, angle, opening=False)


def _jump() -> float:
    return 0.5 * (sum(_held(0.01)) - sum(_held(-0.01)))


def _friction() -> float:
    opening, closing = _held(0.01)
    return opening - closing


def _error(feed_forward: bool, faults: tuple[_core.Fault, ...] = ()) -> float:
    run = SETTING.bench(feed_forward=feed_forward).run(SETTING.stroke(), faults=faults)
    return measures.error(run, 1.5, 10.0)


def _weak_spring() -> str:
    weak = (_core.Fault(**_WEAK),)
    return "smaller" if _error(True, weak) < _error(False, weak) else "larger"


LESSON = Lesson(
    "feed-forward",
    "Feed-forward and the default position's jump",
    "3_feed_forward.md",
    (
        Question(
            "jump",
            "By how many volts does the holding voltage jump where the blade passes its default "
            "position [V]?",
            _jump,
            "Mean of the opening and the closing voltage, just above minus just below; (0.3 + 0.2) N "
            "m times R/(K η).",
            0.06,
        ),
        Question(
            "friction",
            "How far apart are the opening and the closing voltage at one angle just above the "
            "default position [V]?",
            _friction,
            "Twice the sliding friction as a voltage, and the brushes' drop has to be overcome both ways.",
            0.1,
        ),
        Question(
            "without feed-forward",
            "Largest distance of the blade from its set point between 1.5 s and 10 s without "
            "feed-forward [% of travel]?",
            lambda: _error(False),
            "Use measures.error(run, 1.5, 10.0), or read it from the lower plot.",
            0.1,
        ),
        Question(
            "with feed-forward",
            "The same with feed-forward [% of travel]?",
            lambda: _error(True),
            "Use measures.error(run, 1.5, 10.0) of the run with feed-forward.",
            0.1,
        ),
        Question(
            "weak spring",
            "The return spring has lost half of its torque, and the controller does not know. With "
            "feed-forward the "
            "largest error is … than without it?",
            _weak_spring,
            "Half of what is fed forward at the default position is still right. Run both and compare.",
            choices=("smaller", "larger"),
        ),
    ),
    SETTING,
)
