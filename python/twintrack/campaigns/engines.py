# SPDX-License-Identifier: BSD-3-Clause
"""Which engine runs a case: the exact one, or the lanes, many side by side, where they can."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .. import _core

if TYPE_CHECKING:
    from .plan import Plan

_SIDE_BY_SIDE = 256
_TRACED = 32  # records are large, and rules need them


@dataclass(frozen=True)
class Job:
    """A case that is ready to run."""

    number: int
    case: _core.Case
    learned: _core.LearnResult | None


def block(plan: Plan) -> int:
    """How many cases to prepare at once, their range learns included."""
    return 1 if plan.engine == "exact" else _SIDE_BY_SIDE


def learn(engine: str, cases: Sequence[_core.Case]) -> Iterator[_core.LearnResult | str]:
    """The range learn of each case, or why it cannot be run; the GIL is released meanwhile."""
    if engine == "lanes":
        for learned in _core.run_learns(cases, threads=1):
            yield learned.result or learned.refused
        return
    for case in cases:
        try:
            yield _core.run_learn(case).result
        except _core.InvalidParameter as refusal:
            yield str(refusal)


def run(plan: Plan, jobs: Sequence[Job]) -> Iterator[tuple[Job, str, Any]]:
    """Each job with the engine that ran it and its CaseResult; the GIL is released meanwhile."""
    trace = bool(plan.study.rules)
    aside = [job for job in jobs if plan.engine == "lanes" and suits(plan, job)]
    size = _TRACED if trace else _SIDE_BY_SIDE
    for begin in range(0, len(aside), size):
        some = aside[begin : begin + size]
        found = _core.run_lanes(
            [job.case for job in some], [job.learned for job in some], trace=trace, threads=1
        )
        yield from ((job, "lanes", result) for job, result in zip(some, found, strict=True))
    beside = {job.number for job in aside}
    for job in jobs:
        if job.number not in beside:
            yield job, "exact", _core.run_case(job.case, learned=job.learned, trace=trace)


def suits(plan: Plan, job: Job) -> bool:
    """Whether a case can run in lanes: in the study's control period, with no mishap that stays."""
    mistake = plan.pairing(job.number).mistake
    if mistake and mistake.stays:
        return False
    period = plan.own(0).bench.control_period
    return job.case.parameters.control_period == period and not _core.lanes_refusal(job.case)
