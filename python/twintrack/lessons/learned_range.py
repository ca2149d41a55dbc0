# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 5: a pedal is exchanged and the range learn is not repeated."""

from __future__ import annotations

import numpy as np

from .. import _core
from ..bench import Bench
from ..parts.catalogue import pedal
from .lesson import Lesson, Question, Setting

_STROKE = _core.Stroke.rest_half_full_rest()
SETTING = Setting(
    pedal="half-slope-high",
    learned_pedal="half-slope-low",
    time=tuple(_STROKE.time),
    travel=tuple(_STROKE.travel),
)


def _believed(track: int, travel: float) -> float:
    """Share of pedal travel that the learned pedal's range makes of the new pedal's reading."""
    old, new = pedal("half-slope-low").tracks[track].ratio, pedal("half-slope-high").tracks[track].ratio
    return (new[0] + travel * (new[-1] - new[0]) - old[0]) / (old[-1] - old[0])


def _rest_opening() -> float:
    return float(100.0 * SETTING.bench().run(_core.Stroke.rest(2.0)).record["blade.opening"][-1])


def _full() -> float:
    old, new = pedal("half-slope-low").tracks[0].ratio, pedal("half-slope-high").tracks[0].ratio
    return 100.0 * (old[-1] - new[0]) / (new[-1] - new[0])


def _codes_at_rest() -> float:
    return float(len(SETTING.bench().run(_core.Stroke.rest(10.0)).codes))


def _dead_travel() -> float:
    """The other way round: travel at which the demand leaves its idle value."""
    teacher = Bench(pedal="half-slope-high", body=SETTING.body)
    teacher.learn()
    bench = Bench(pedal="half-slope-low", body=SETTING.body)
    bench.learned = teacher.learned
    record = bench.run(_core.Stroke(time=[0.0, 1.0, 11.0], travel=[0.0, 0.0, 1.0])).record
    idle = record["demand"][900]
    return float(100.0 * record["pedal.travel"][int(np.argmax(record["demand"] > idle + 5e-4))])


def _why() -> str:
    apart = abs(_believed(0, 0.0) - _believed(1, 0.0))
    agree = apart < _core.MonitorParameters().correlation_limit
    return "both tracks are wrong by the same share of travel" if agree else "the monitor is too slow"


LESSON = Lesson(
    "learned range",
    "What a learned range is, and what a stale one does",
    "5_learned_range.md",
    (
        Question(
            "believed",
            "Where does the controller believe the released pedal to be [% of pedal travel]?",
            lambda: 100.0 * _believed(0, 0.0),
            "(r₀' − r₀)/(r₁ − r₀) with the outputs of track 1: old pedal 14 to 72 %, new pedal 24 to 90 %.",
            0.03,
        ),
        Question(
            "opening at rest",
            "How far is the throttle open with the foot off the pedal [% of travel]?",
            _rest_opening,
            "The pedal map makes an opening of the believed position; or read the run.",
        ),
        Question(
            "full",
            "At which true pedal travel is the demand at its largest already [% of pedal travel]?",
            _full,
            "Where the new pedal's reading equals the learned end of the old one, 72 %.",
            0.03,
        ),
        Question(
            "codes at rest",
            "How many trouble codes are set in ten seconds with the foot off the pedal?",
            _codes_at_rest,
            "Run Stroke.rest(10.0) and count.",
        ),
        Question(
            "why",
            "Why does the correlation check not trip?",
            _why,
            "Calculate it for track 2 as well and compare.",
            choices=(
                "both tracks are wrong by the same share of travel",
                "the monitor does not check a released pedal",
                "the monitor is too slow",
            ),
        ),
        Question(
            "dead travel",
            "The other way round (learned with half-slope-high, half-slope-low plugged in): at which "
            "pedal travel "
            "does the throttle begin to open [% of pedal travel]?",
            _dead_travel,
            "The reading must first rise to the learned rest of 24 %, and past the 3 % that the "
            "pedal map ignores.",
        ),
    ),
    SETTING,
)
