# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 6: resistance in a sensor's return, and a motor current that takes a wrong way back."""

from __future__ import annotations

import numpy as np

from .. import _core
from ..bench import BenchRun
from . import measures
from .lesson import Lesson, Question, Setting

_RETURN = {"where": "throttle return", "what": "series", "amount": 100.0, "start": 3.0}
_GROUND = _core.Fault(where="controller ground", what="series", amount=0.3, start=3.0)
_CHAFED = _core.Fault(where="throttle return", what="short_to_ground", amount=0.1, start=3.0)
SETTING = Setting(time=(0.0, 1.0, 1.3, 6.0), travel=(0.0, 0.0, 0.2, 0.2), faults=(_RETURN,))


def _run(faults: list[_core.Fault]) -> BenchRun:
    return SETTING.bench().run(SETTING.stroke(), faults=faults)


def _stand(ohms: float, point: str, blade: str = "closed") -> float:
    """Volts at a point with so much resistance in the throttle's return, pedal released."""
    parameters = SETTING.unlearned(SETTING.pedal).parameters
    fault = _core.Fault(where="throttle return", what="series", amount=ohms)
    volts = _core.standing_volts(parameters, faults=[fault], stands=[(0.0, blade)])
    return float(volts[0, _core.meter_points(parameters).index(point)])


def _apart(ohms: float) -> float:
    """Disagreement of the throttle's tracks with the blade closed, as a share of travel."""
    error = 0.0
    for k in (1, 2):
        pin = f"pin throttle signal {k}"
        sound = [_stand(0.001, pin, blade) for blade in ("closed", "open")]
        moved = (_stand(ohms, pin) - sound[0]) / (sound[1] - sound[0])
        error += moved if k == 1 else -moved
    return abs(error)


def _most_ohms() -> float:
    limit = _core.MonitorParameters().correlation_limit
    low, high = 10.0, 1000.0
    for _ in range(20):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _apart(middle) < limit else (low, middle)
    return low


def _opening() -> float:
    record = _run(SETTING.fault_values()).record
    return float(100.0 * np.mean(record["blade.opening"][-500:]))


def _together() -> str:
    cases = {"the ground alone": [_GROUND], "the chafed return alone": [_CHAFED], "both": [_GROUND, _CHAFED]}
    swings = {name: measures.swing(_run(faults), 4.0) for name, faults in cases.items()}
    return max(swings, key=lambda name: swings[name])


LESSON = Lesson(
    "wiring",
    "Wiring faults and return currents",
    "6_wiring.md",
    (
        Question(
            "return",
            "Voltage at the throttle's return terminal with 100 ohm in its return wire [V]?",
            lambda: _stand(100.0, "throttle return"),
            "Two tracks of 3 kilohm in parallel, in series with 100 ohm, on 5 V.",
            0.03,
        ),
        Question(
            "blade",
            "Where does the loop hold the blade then, the foot unmoved [% of travel]?",
            _opening,
            "Track 1 reads higher, so the loop closes the blade. Read the end of the run.",
        ),
        Question(
            "most ohms",
            "Above which resistance do the two tracks disagree by more than 10 % of travel [ohm]?",
            _most_ohms,
            "For tracks of opposite slope the disagreement is the return's voltage over 5 V, divided "
            "by the span 0.76.",
            0.05,
        ),
        Question(
            "together",
            "Which of these makes the blade swing?",
            _together,
            "Run all three and compare the swing after 4 s.",
            choices=("the ground alone", "the chafed return alone", "both"),
        ),
    ),
    SETTING,
)
