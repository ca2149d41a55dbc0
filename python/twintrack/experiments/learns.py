# SPDX-License-Identifier: BSD-3-Clause
"""Range learns of an experiment: one that nothing distinguishes is made once and shared."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence

from .. import _core
from ..tolerances.apply import Draw
from .plan import Plan

#: A LearnResult, why the case cannot be run at all, or None: nothing is learned.
Learned = _core.LearnResult | str | None


class Learns:
    """Learns of cases; those that are shared are kept."""

    def __init__(self, plan: Plan) -> None:
        self._plan, self._lock = plan, threading.Lock()
        self._made: dict[int, Learned] = {}

    def prepare(self, numbers: Iterable[int], threads: int) -> None:
        """Makes the shared learns of these cases, many side by side."""
        if self._plan.learns_scatter:
            return
        size, teachers = len(self._plan.specs), self._plan.teachers
        wanted = dict.fromkeys(teachers[k] for k in dict.fromkeys(n % size for n in numbers) if k in teachers)
        with self._lock:
            missing = [k for k in wanted if k not in self._made]
            self._made |= zip(missing, self._make(missing, [None] * len(missing), threads), strict=True)

    def of(self, numbers: Sequence[int], draws: Sequence[Draw]) -> list[Learned]:
        """The learn of each case, in order."""
        plan = self._plan
        size, teachers = len(plan.specs), plan.teachers
        if not plan.learns_scatter:
            self.prepare(numbers, 1)
            return [self._made[teachers[n % size]] if n % size in teachers else None for n in numbers]
        found: list[Learned] = [None] * len(numbers)
        learning = [k for k, n in enumerate(numbers) if n % size in teachers]
        same = {
            k: (teachers[numbers[k] % size], numbers[k] // size, plan.noise(numbers[k])) for k in learning
        }
        first = {
            key: k for k, key in reversed(same.items())
        }  # of those that are the same, the first one learns
        some = list(first.values())
        made = self._make([numbers[k] for k in some], [draws[k] for k in some], 1)
        known = dict(zip(first, made, strict=True))
        for k, key in same.items():
            found[k] = known[key]
        return found

    def _make(self, numbers: Sequence[int], draws: Sequence[Draw | None], threads: int) -> list[Learned]:
        found: list[Learned] = [None] * len(numbers)
        cases = {}
        for k, (number, draw) in enumerate(zip(numbers, draws, strict=True)):
            try:
                cases[k] = self._plan.case(number, draw, learning=True)
            except _core.InvalidParameter as refusal:
                found[k] = str(refusal)
        for k, learned in zip(cases, self._run([*cases.values()], threads), strict=True):
            found[k] = learned
        return found

    def _run(self, cases: Sequence[_core.Case], threads: int) -> list[Learned]:
        own = self._plan.study.own_learn
        if self._plan.solver == "lanes" and own is None:
            return [ran.result or ran.refused for ran in _core.run_learns(cases, threads=threads)]
        found: list[Learned] = []
        for case in cases:
            try:
                found.append(_core.run_learn(case, unit=own).result)
            except _core.InvalidParameter as refusal:
                found.append(str(refusal))
        return found
