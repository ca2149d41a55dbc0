# SPDX-License-Identifier: BSD-3-Clause
"""What an audit says of the engine behind the throttle: idle, return to it, limited speed."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..rulebooks import rulebook

#: Columns of an audit with an engine: their heading, and the rule whose verdict stands there.
RULES = {
    "idle_band": ("idle band", "idle band"),
    "return_to_idle": ("return to idle, 1 s", "return to idle, light"),
    "speed_limit": ("speed limit", "speed limit"),
}

#: The column of the idle report's finding stands beside them.
COLUMNS = ("idle", *RULES)

_WORST = {name: i for i, name in enumerate(("failed", "dangerous", "wrong", "noticed", "passed", "right"))}


def columns(result: Any, judge: _core.BenchParameters, learned: _core.LearnedRange | None) -> dict[str, str]:
    """The columns of one case; nothing without an engine."""
    if result.idle is None:
        return {}
    known = {rule.name: rule for rule in rulebook.rules()}
    rules = [known[name] for _, name in RULES.values()]
    verdicts = rulebook.evaluate(result.record, rules, parameters=judge, learned=learned)
    findings = {column: verdict.finding for column, verdict in zip(RULES, verdicts, strict=True)}
    return {"idle": result.idle.finding, **findings}


def worst(findings: Any) -> str:
    """The worst of several findings of one column."""
    return min(map(str, findings), key=lambda finding: _WORST.get(finding, len(_WORST)), default="")
