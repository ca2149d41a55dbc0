# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 7: a spare throttle body without a new range learn, and the engine idles at 1,600 rpm."""

from __future__ import annotations

from typing import Any

from ..bench import BenchRun
from ..parts.catalogue import body
from ..units import RPM
from .lesson import Lesson, Question, Setting

#: Both tracks of the spare were set 7.6 % of their range lower on the shaft.
_SPARE = {"body.tracks[1].ratio": (0.062, 0.822), "body.tracks[2].ratio": (0.938, 0.178)}
SETTING = Setting(
    engine="small-four",
    changes={"engine.coolant": 70.0, "engine.air_meter": False},
    later=_SPARE,
    time=(0.0, 20.0),
    travel=(0.0, 0.0),
)


def _run(**more: Any) -> BenchRun:
    bench = SETTING.bench()
    if more:
        bench.parameters = bench.parameters.replace(more)
    return bench.run(SETTING.stroke())


def _own_body() -> dict[str, Any]:
    tracks = body(SETTING.body).tracks
    return {f"body.tracks[{k}].ratio": tuple(tracks[k - 1].ratio) for k in (1, 2)}


def _late(run: BenchRun, signal: str) -> float:
    """Mean over the last five seconds."""
    return float(run.record[signal][run.record.time > 15.0].mean())


def _opening() -> float:
    own, spare = body(SETTING.body).tracks[0].ratio, _SPARE["body.tracks[1].ratio"]
    return 100.0 * (own[0] - spare[0]) / (spare[1] - spare[0])


def _air() -> float:
    return _late(_run(), "engine.air_flow") / _late(_run(**_own_body()), "engine.air_flow")


def _tracks_apart() -> float:
    own, spare = body(SETTING.body).tracks, (_SPARE["body.tracks[1].ratio"], _SPARE["body.tracks[2].ratio"])
    at = [(s[0] - t.ratio[0]) / (t.ratio[-1] - t.ratio[0]) for s, t in zip(spare, own, strict=True)]
    return round(100.0 * abs(at[0] - at[1]), 6)


def _metered() -> BenchRun:
    return _run(**{"engine.air_meter": True})


LESSON = Lesson(
    "idle",
    "The idle at 1,600",
    "7_idle_at_1600.md",
    (
        Question(
            "opening",
            "How far is the spare's blade open where its track 1 reads what was learned as closed [% "
            "of travel]?",
            _opening,
            "The learned closed end is 12 % of the supply; the spare gives 6.2 % closed and 82.2 % open.",
            0.04,
        ),
        Question(
            "speed",
            "Mean engine speed over the last five seconds with the spare [rpm]?",
            lambda: _late(_run(), "engine.speed") / RPM,
            "Mean of engine.speed after 15 s, in rad/s, divided by π/30.",
            0.03,
        ),
        Question(
            "air",
            "How many times the air of the sound idle does the engine take?",
            _air,
            "Compare the means of engine.air_flow after 15 s.",
        ),
        Question(
            "code",
            "Which trouble code is set first, without an air meter?",
            lambda: _run().codes[0].code,
            "Look at run.codes.",
            choices=("P2135", "P0507", "P2173", "P2101"),
        ),
        Question(
            "motor off",
            "With an air meter the controller switches the motor off. What does the engine do then?",
            lambda: "idles at about 1,500 rpm" if _late(_metered(), "engine.speed") / RPM > 1300 else "stops",
            "Where do the springs leave the blade, and how much air passes there?",
            choices=("idles at about 735 rpm", "idles at about 1,500 rpm", "stops"),
        ),
        Question(
            "why no correlation code",
            "By how much of the travel do the positions of the two tracks differ with the spare [% "
            "of travel]?",
            _tracks_apart,
            "Calculate the believed position of the closed blade by either track.",
        ),
    ),
    SETTING,
)
