# SPDX-License-Identifier: BSD-3-Clause
"""Range learns under disturbances: every disturbance under each of the limits, and a drive after each that is
accepted, with the cause mended and, where it can stay, with it still there."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from ... import _core
from ...pages import severity
from ...pages.section import Section
from ...rulebooks import rulebook
from ...studies.study import Pairing
from ..design import Design, Spec
from . import consequences, sections
from . import disturbances as tried

if TYPE_CHECKING:
    import pandas as pd

#: Rule sets of a drive, where the study names none; those on the learned range are always held against it.
RULE_SETS = ("student competition 2024", "return to idle", "fault-tolerant time")


@dataclass(frozen=True)
class Learning(Design):
    """Learn disturbances × limits × what becomes of the cause."""

    name = "learning"
    columns: ClassVar[dict[str, Any]] = {"disturbance": "", "kind": "", "limits": "", "after": ""}

    @property
    def signals(self) -> tuple[str, ...]:
        return consequences.SIGNALS

    @cached_property
    def rules(self) -> Sequence[_core.Rule]:
        return list(self.study.rules) or [rule for name in RULE_SETS for rule in rulebook.rules(name)]

    @cached_property
    def more_rules(self) -> Sequence[_core.Rule]:
        return _core.learned_range_rules()

    @cached_property
    def specs(self) -> Sequence[Spec]:
        """The drives after one learn stand side by side, with the noise of the learn."""
        found = []
        pairs = itertools.product(self.study.pedals, self.study.bodies)
        every = list(tried.with_limits(tried.disturbed_learns(self.study)))
        for number, ((pedal, body), disturbed_learn) in enumerate(itertools.product(pairs, every)):
            labels = {
                "disturbance": disturbed_learn.name,
                "kind": " and ".join(m.name.replace("_", " ") for m in disturbed_learn.disturbances)
                or disturbed_learn.name,
                "limits": disturbed_learn.limits or "",
            }
            for stays in (False, True) if disturbed_learn.can_stay else (False,):
                pairing = Pairing(
                    pedal, body, "faulty", pedal, body, disturbed_learn=replace(disturbed_learn, stays=stays)
                )
                after = tried.STAYS if stays else tried.MENDED
                found.append(Spec(pairing, {**labels, "after": after}, faults=(), noise=number))
        return found

    def empty(self) -> dict[str, Any]:
        own = {"stopped_in": "", "measured": math.nan, "limit": math.nan, "error_most": math.nan}
        return super().empty() | own | consequences.EMPTY

    def without_run(self, spec: Spec, learned: Any) -> dict[str, Any] | None:
        """A learn that is refused keeps what it knew, and nothing is driven."""
        if learned.accepted:
            return None
        told = {"sentence": learned.reason, "learn_reason": learned.reason, "learn_refusal": learned.refusal}
        rated = {"learn_accepted": False, "detection": "in time", "grade": "refused"}
        return told | rated | _stopped(learned)

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        result, disturbed_learn = ran.result, spec.pairing.disturbed_learn
        assert result is not None
        assert disturbed_learn is not None
        row = super().measure(spec, case, learned, ran) | _stopped(learned)
        left = _core.lasting_faults(disturbed_learn.core) if disturbed_learn.stays else []
        travel = _core.learned_travel(case.parameters, learned.range, faults=left)
        static = rulebook.evaluate(travel, self.more_rules, parameters=case.parameters, learned=learned.range)
        row |= consequences.columns(case, static, travel, result.record)
        errors = [abs(e) for e in (result.error_rest, result.error_half, result.error_full)]
        row["error_most"] = max((e for e in errors if not math.isnan(e)), default=0.0)
        hazard = row["hazard"] or row["closed_hot"] or row["open_hot"]
        detected = bool(result.codes)
        faulty = bool(disturbed_learn.disturbances)
        rated = severity.rate(row["response"], hazard, faulty, detected, result.reaction)
        return row | rated | {"verdicts": static}

    def judge(self, table: pd.DataFrame) -> pd.DataFrame:
        return sections.judged(table)

    def headline(self, table: pd.DataFrame) -> str:
        return sections.headline(table)

    def tally(self, table: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
        return sections.HEAD, sections.tally(table)

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        return sections.sections(self, result, table)

    def label(self, spec: Spec) -> str:
        labels, pair = spec.labels, spec.pairing
        text = f"{labels['disturbance']}, {labels['limits']} limits, {labels['after']}"
        return f"{text} ({pair.pedal} + {pair.body})"


def _stopped(learned: Any) -> dict[str, Any]:
    return {name: getattr(learned, name) for name in ("stopped_in", "measured", "limit")}
