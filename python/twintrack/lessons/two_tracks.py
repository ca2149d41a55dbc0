# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 4: one track drifts, and what the second one is for."""

from __future__ import annotations

from .. import _core
from ..bench import BenchRun
from .lesson import Lesson, Question, Setting

SETTING = Setting(
    time=(0.0, 1.0, 1.3, 6.0),
    travel=(0.0, 0.0, 0.2, 0.2),
    faults=({"where": "throttle.track1", "what": "offset", "amount": -0.1, "start": 3.0, "ramp": 1.0},),
)
_BOX = _core.Fault(where="pedal.line", what="gain", amount=2.0)


def _run(monitor: _core.MonitorParameters | None = None, fault: _core.Fault | None = None) -> BenchRun:
    bench = SETTING.bench()
    if monitor is not None:
        bench.parameters = bench.parameters.replace({"monitor": monitor})
    return bench.run(SETTING.stroke(), faults=[fault] if fault else SETTING.fault_values())


def _beyond() -> float:
    record = _run(_core.monitor_careless()).record
    return float(100.0 * (record["blade.opening"][-1] - record["asked"][-1]))


def _span() -> float:
    """Of throttle track 1, as a share of its supply."""
    ends = SETTING.unlearned(SETTING.pedal).parameters.body.tracks[0].ratio
    return abs(ends[-1] - ends[0])


def _limit() -> float:
    return 100.0 * _core.MonitorParameters().correlation_limit * _span()


def _detected() -> float:
    return float(1e3 * (_run().codes[0].confirmed - 3.0))


def _rest() -> float:
    return float(100.0 * _run().record["blade.opening"][-1])


def _who() -> str:
    found = {
        "the default monitor": bool(_run(fault=_BOX).codes),
        "the strict monitor": bool(_run(_core.monitor_strict(), _BOX).codes),
    }
    finders = [name for name, codes in found.items() if codes]
    return "neither" if not finders else finders[0] if len(finders) == 1 else "both"


LESSON = Lesson(
    "two tracks",
    "Two tracks, and why plausibility needs both",
    "4_two_tracks.md",
    (
        Question(
            "beyond",
            "With each track judged alone, by how much of the travel is the blade open beyond what "
            "is asked at the "
            "end [% of travel]?",
            _beyond,
            "The loop moves the blade until track 1 reads as before: the drift as a share of the "
            "track's span.",
            0.06,
        ),
        Question(
            "smallest",
            "From which drift of track 1 on do the tracks disagree by more than the correlation limit "
            "[% of the supply]?",
            _limit,
            "The limit is a share of travel; the track's span is 76 % of its supply.",
            0.03,
        ),
        Question(
            "detection time",
            "How long after the drift begins is the code set, under the default monitor [ms]?",
            _detected,
            "The drift needs time to reach the limit; then the disagreement must last for the confirm time.",
            0.03,
        ),
        Question(
            "after the reaction",
            "Where does the blade stand after the monitor's reaction [% of travel]?",
            _rest,
            "The motor is off; read the end of the run, or compare with the default position.",
        ),
        Question(
            "box in the line",
            "Which monitor sets a code for the box that doubles both pedal signals?",
            _who,
            "Both tracks change by the same share of travel. Run both monitors.",
            choices=("the default monitor", "the strict monitor", "both", "neither"),
        ),
    ),
    SETTING,
)
