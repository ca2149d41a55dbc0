# SPDX-License-Identifier: BSD-3-Clause
"""Designs that choose each case by what earlier ones gave: one pair, one rule, its margin.

Cases are asked for in groups. The choice is a pure function of study, seed and the rows of the cases before,
so that a run goes on where it stopped: what is stored is handed out again instead of being run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar

import numpy as np

from .. import _core
from ..errors import InputError, closest, listing
from ..files.toml_file import TomlFile
from ..rulebooks import rulebook
from ..studies.study import Study
from ..tolerances.apply import Draw
from .design import Design, Spec

#: The name of the hazard as a rule.
HAZARD = "hazard"

#: Margins count up to this many times the limit; one that no number decides is infinite.
MOST = 10.0

#: What stands for the margin of a case that does not count.
OUTSIDE = 2.0 * MOST

#: Asks for cases by what is drawn for them; gives their rows, or raises ``Spent`` when no more may be asked.
Ask = Callable[[Sequence[Draw]], list[dict[str, Any]]]

EMPTY: dict[str, Any] = {"sought_margin": math.nan, "excluded": "refused"}

NOT_APPLICABLE = "the rule does not apply"
TOO_EARLY = "not healthy before its fault"


@dataclass(frozen=True)
class Pursuit(Design):
    """One pair and one rule; the base of what follows margins. ``runs``: the most cases."""

    sought: str = HAZARD
    runs: int = 2000
    healthy_before: bool = True

    adaptive: ClassVar[bool] = True

    def __post_init__(self) -> None:
        self.rules  # noqa: B018  a rule that does not exist is said at once

    def options(self) -> dict[str, Any]:
        return {"sought": self.sought, "runs": self.runs, "healthy_before": self.healthy_before}

    @cached_property
    def specs(self) -> Sequence[Spec]:
        return [Spec(pairing) for pairing in self.study.pairings()]

    @cached_property
    def rule(self) -> _core.Rule:
        """The one whose margin is followed; the hazard is written as one."""
        if self.sought == HAZARD:
            return hazard_rule(*self.hazard)
        known = {rule.name: rule for rule in [*self.study.rules, *rulebook.rules()]}
        if self.sought not in known:
            hint = closest(self.sought, known)
            raise InputError(
                f"there is no rule {self.sought!r}{hint} (there are: {listing(known)}; {HAZARD!r})"
            )
        return known[self.sought]

    @cached_property
    def rules(self) -> Sequence[_core.Rule]:
        return [self.rule, *(rule for rule in self.study.rules if rule.name != self.rule.name)]

    def empty(self) -> dict[str, Any]:
        return super().empty() | EMPTY

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        row = super().measure(spec, case, learned, ran)
        margin, excluded = judged(self, case, ran)
        return row | {"sought_margin": margin, "excluded": excluded}

    def pursue(self, plan: Any, ask: Ask) -> Any:
        """Asks for cases until it has its answer, or ``ask`` raises ``Spent``."""
        raise NotImplementedError

    def tally(self, table: Any) -> tuple[list[str], list[list[str]]]:
        counted = table[table["excluded"] == ""]
        failed = int((counted["sought_margin"] < 0).sum())
        head = ["rule", "runs", "that count", "failed", "least margin"]
        least = f"{100 * counted['sought_margin'].min():+.1f} % of the limit" if len(counted) else "none"
        return head, [[self.rule.name, str(len(table)), str(len(counted)), str(failed), least]]

    def label(self, spec: Spec) -> str:
        return f"{spec.pairing.label}, {self.rule.name}"


def hazard_rule(opening: float, time: float) -> _core.Rule:
    """The hazard of a study as a rule: opening [share of travel] beyond what the foot asks, time [s]."""
    return rulebook.rule(
        name=HAZARD,
        requires=f"not persists(blade.opening - asked > {opening!r}, {time!r} s)",
        limit=opening,
        source="the study",
        sentence=f"The blade is never more than {100 * opening:g} % of travel beyond what the foot asks for "
        f"longer than {time:g} s.",
    )


def judged(design: Pursuit, case: _core.Case, ran: _core.Ran) -> tuple[float, str]:
    """Margin as a share of the rule's limit, and why the case does not count; empty: it does."""
    verdict, result = ran.verdicts[0], ran.result
    assert result is not None
    if verdict.margin is None:
        return math.nan, NOT_APPLICABLE
    margin = float(np.clip(verdict.margin / design.rule.scale, -MOST, MOST))
    start = min((fault.start for fault in case.faults_of_run), default=None)
    if design.healthy_before and start is not None:
        code = result.first_code_time
        failed = verdict.when is not None and verdict.when < start
        if failed or (code is not None and code < start):
            return margin, TOO_EARLY
    return margin, ""


def values(rows: Sequence[Mapping[str, Any]]) -> np.ndarray:
    """What a search makes least: margins, and ``OUTSIDE`` for cases that do not count."""
    return np.array([OUTSIDE if row["excluded"] else row["sought_margin"] for row in rows])


def check_first(design: Pursuit, rows: Sequence[Mapping[str, Any]], where: str) -> None:
    """Refuses a search none of whose first cases counts, with the reason."""
    reasons = [row["excluded"] for row in rows]
    if not rows or "" in reasons:
        return
    most = max(set(reasons), key=reasons.count)
    why = {
        NOT_APPLICABLE: f"the rule {design.rule.name!r} applies in none of them; it asks for signals, a "
        "stroke or an engine that the study does not have",
        TOO_EARLY: f"in none of them the bench is healthy before its fault (a trouble code, or "
        f"{design.rule.name!r} is broken, earlier); 'healthy_before' and the rest of the study contradict "
        "each other",
    }.get(most, f"they are refused: {rows[reasons.index(most)]['outcome']}")
    raise InputError(f"{where}: none of the first {len(rows)} cases counts: {why}")


def read_pursuit(file: TomlFile, study: Study, table: str, most: int, usual: int) -> dict[str, Any]:
    """What the tables of all such designs have in common, checked."""
    found = file.table.get(table, {})
    if not isinstance(found, dict):
        file.fail((table,), f"must be a table ([{table}])", found)
    if len(study.pairings()) != 1:
        file.fail(
            (table,),
            f"goes with one pair and one learn state, and the study has {len(study.pairings())} cases; "
            "name one pedal, one throttle body, learn = [\"fresh\"]",
        )  # fmt: skip
    runs = found.get("runs", usual)
    if type(runs) is not int or not 1 <= runs <= most:
        file.fail((table, "runs"), f"must be a whole number from 1 to {most}", runs)
    healthy = found.get("healthy_before", True)
    if not isinstance(healthy, bool):
        file.fail((table, "healthy_before"), "must be true or false", healthy)
    sought = found.get("rule", HAZARD)
    if not isinstance(sought, str):
        file.fail((table, "rule"), "must be the name of a rule, or 'hazard'", sought)
    return {"sought": sought, "runs": runs, "healthy_before": healthy}


def made(file: TomlFile, table: str, build: Callable[[], Any]) -> Any:
    """The design; an unknown rule is an error of its key."""
    try:
        return build()
    except InputError as error:
        file.fail((table, "rule"), str(error))
