# SPDX-License-Identifier: BSD-3-Clause
"""Lesson 8: a written rule, its verdict on a run, and the probability over many cases."""

from __future__ import annotations

import functools
import math
from typing import Any

from .. import _core
from ..experiments.study import Study
from ..interval import wilson
from ..rulebooks.rulebook import evaluate, rule
from .lesson import Lesson, Question, Setting

SETTING = Setting(
    time=(0.0, 1.0, 1.3, 6.0),
    travel=(0.0, 0.0, 0.2, 0.2),
    faults=({"where": "throttle.track1", "what": "offset", "amount": -0.1, "start": 3.0, "ramp": 1.0},),
)
CASES = 128


def study(limit: float) -> Study:
    """A drift of throttle track 1, uniform from 0 to −15 % of the supply, under a correlation limit."""
    drift: dict[str, Any] = {"where": "throttle.track1", "what": "offset", "amount": -0.05}
    return Study.make(
        title="Drift of a throttle track (invented)",
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        learn=["fresh"],
        stroke={"time": ["0 s", "1 s", "1.3 s", "6 s"], "travel": [0.0, 0.0, 0.2, 0.2]},
        faults=[drift | {"from": "3 s", "ramp": "1 s"}],
        bench={"seed": 1, "wiring": {"kind": "ideal"}, "monitor": {"correlation_limit": limit}},
        hazard={"opening": "10 %", "time": "0.5 s"},
        tolerances={"faults[1].amount": {"uniform": [-0.15, 0.0]}},
    )


@functools.cache
def _counted(limit: float) -> tuple[int, int]:
    """Hazards, and wrong responses that no check detects."""
    table = study(limit).run(cases=CASES, progress=False).to_pandas(["hazard", "grade"])
    return int(table["hazard"].sum()), int((table["grade"] == "missed").sum())


def rules() -> list[_core.Rule]:
    """The two rules of the lesson."""
    return [
        rule(name="never beyond", requires="blade.opening - asked <= 10 %", limit="10 %"),
        rule(
            name="not long beyond",
            requires="not persists(blade.opening - asked > 10 %, 500 ms)",
            limit="10 %",
        ),
    ]


def _verdict(number: int) -> str:
    run = SETTING.bench().run(SETTING.stroke(), faults=SETTING.fault_values())
    return evaluate(run.record, rules())[number].finding


def _expected() -> float:
    """Drifts from 10 % of travel to 14 % of travel, of all up to 15 % of the supply."""
    return 100.0 * (0.14 - 0.10) * 0.76 / 0.15


LESSON = Lesson(
    "campaign",
    "From rule to verdict to campaign",
    "8_campaign.md",
    (
        Question(
            "never beyond",
            "Which verdict does the rule “never beyond” get in the run with the drift?",
            lambda: _verdict(0),
            "Print tt.evaluate(run, rules).",
            choices=("passed", "failed", "not applicable"),
        ),
        Question(
            "not long beyond",
            "And the rule “not long beyond”?",
            lambda: _verdict(1),
            "The opening beyond 10 % must last for more than 500 ms.",
            choices=("passed", "failed", "not applicable"),
        ),
        Question(
            "expected hazards",
            "Which share of the cases do you expect to be hazards at a correlation limit of 14 % [%]?",
            _expected,
            "Drifts that move the blade by more than 10 % and less than 14 % of travel, of all "
            "drifts up to 15 % of "
            "the supply; the span is 76 %.",
            0.1,
        ),
        Question(
            "hazards",
            f"How many of the {CASES} cases are hazards at a correlation limit of 14 %?",
            lambda: float(_counted(0.14)[0]),
            "Count the true values of the column hazard.",
            0.001,
        ),
        Question(
            "upper bound",
            f"None of {CASES} cases is a hazard. Upper end of the 95 % confidence interval of the "
            "probability [%]?",
            lambda: 100.0 * wilson(0, CASES)[1],
            "Wilson's interval for zero successes: z²/(n + z²) with z = 1.96.",
            0.03,
        ),
        Question(
            "cases needed",
            "How many cases without a single hazard show, at 95 % confidence, a probability below 1 %?",
            lambda: float(math.ceil(math.log(0.05) / math.log(0.99))),
            "If the probability were 1 %, n cases would all be free of it with probability 0.99ⁿ; "
            "that must be 5 %.",
            0.01,
        ),
        Question(
            "tighter",
            "A correlation limit of 6 % in place of 10 %: what becomes of the wrong responses that "
            "no check detects?",
            lambda: "fewer" if _counted(0.06)[1] < _counted(0.10)[1] else "as many",
            "Compare the number of cases of grade missed.",
            choices=("fewer", "as many", "more"),
        ),
    ),
    SETTING,
)
