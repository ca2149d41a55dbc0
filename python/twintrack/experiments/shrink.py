# SPDX-License-Identifier: BSD-3-Clause
"""A counterexample made smaller in the exact solver: fewer faults and knots, smaller amounts, a shorter run.

Steps, repeated until none helps: leave out a fault, a knot, a ramp, a drawn value; then the smallest amounts,
the shortest rest before and after; then the fewest digits. A step is kept when the rule is still broken and
the bench still healthy before its fault. Delta debugging with steps of its own (A. Zeller, R. Hildebrandt,
Simplifying and isolating failure-inducing input, IEEE Trans. Software Engineering 28, 2002).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from .. import _core
from ..designs.search.faults import NEUTRAL
from ..tolerances.address import changed_fault

#: Steps of a bisection that are tried side by side.
_PARTS = 8

#: Most candidates that are run for one counterexample.
MOST = 600


@dataclass(frozen=True)
class Small:
    """A counterexample: what is drawn for the bench, faults, knots of the stroke [s], [share of travel]."""

    values: Mapping[str, Any]
    faults: tuple[_core.Fault, ...]
    time: tuple[float, ...]
    travel: tuple[float, ...]

    @property
    def size(self) -> tuple[int, int, int, float]:
        """Faults, knots, drawn values, duration [s]."""
        return len(self.faults), len(self.time), len(self.values), self.time[-1]


#: Whether each candidate is a counterexample still.
Judge = Callable[[Sequence[Small]], list[bool]]


def shrunk(start: Small, judge: Judge) -> tuple[Small, int]:
    """The smallest that the steps reach, and how many candidates were run."""
    spent = 0

    def first(candidates: Sequence[Small]) -> Small | None:
        nonlocal spent
        for at in range(0, len(candidates), _PARTS):
            some = candidates[at : at + _PARTS]
            if spent >= MOST:
                return None
            spent += len(some)
            for one, broken in zip(some, judge(some), strict=True):
                if broken:
                    return one
        return None

    best = start
    while True:
        before = best
        while (found := first(list(_fewer(best)))) is not None:
            best = found
        for smaller in (_amounts, _after, _before, _amounts):
            for candidates in smaller(best):
                if (found := first(candidates(best))) is not None:
                    best = found
        if best == before or spent >= MOST:
            break
    for rounded in _digits(best):
        if (found := first(rounded(best))) is not None:
            best = found
    return best, spent


def _fewer(small: Small) -> Iterator[Small]:
    """One thing less each."""
    if len(small.faults) > 1:
        for k in range(len(small.faults)):
            yield replace(small, faults=small.faults[:k] + small.faults[k + 1 :])
    for k in range(len(small.time) - 2, 0, -1):
        yield replace(
            small, time=small.time[:k] + small.time[k + 1 :], travel=small.travel[:k] + small.travel[k + 1 :]
        )
    for name in small.values:
        yield replace(small, values={k: v for k, v in small.values.items() if k != name})
    for k, fault in enumerate(small.faults):
        if fault.ramp:
            yield _with_fault(small, k, changed_fault(fault, ramp=0.0))


def _with_fault(small: Small, k: int, fault: _core.Fault) -> Small:
    return replace(small, faults=(*small.faults[:k], fault, *small.faults[k + 1 :]))


Candidates = Callable[[Small], list[Small]]


def _amounts(small: Small) -> list[Candidates]:
    """Of each fault smaller amounts, the smallest first."""

    def of(k: int) -> Candidates:
        def candidates(now: Small) -> list[Small]:
            fault = now.faults[k]
            neutral = NEUTRAL.get(fault.what, 0.0)
            whole = fault.amount - neutral
            parts = [neutral + whole * p / _PARTS for p in range(1, _PARTS)] if whole else []
            return [_with_fault(now, k, changed_fault(fault, amount=amount)) for amount in parts]

        return candidates

    return [of(k) for k in range(len(small.faults))]


def _after(small: Small) -> list[Candidates]:
    """An earlier end of the run, the earliest first."""

    def candidates(now: Small) -> list[Small]:
        begin, end = max([f.start for f in now.faults], default=0.0), now.time[-1]
        return [cut(now, begin + (end - begin) * p / _PARTS) for p in range(1, _PARTS)]

    return [candidates]


def cut(small: Small, end: float) -> Small:
    """The run up to ``end`` [s]."""
    keep = [k for k, t in enumerate(small.time) if t < end]
    last = float(np.interp(end, small.time, small.travel))
    return replace(
        small,
        time=(*(small.time[k] for k in keep), end),
        travel=(*(small.travel[k] for k in keep), last),
    )


def _before(small: Small) -> list[Candidates]:
    """Less rest before anything happens, the least first."""

    def candidates(now: Small) -> list[Small]:
        moves = next(
            (t for t, a, b in zip(now.time, now.travel, now.travel[1:], strict=False) if a != b), now.time[-1]
        )
        rest = min([moves, *(f.start for f in now.faults)])
        return [_earlier(now, rest * p / _PARTS) for p in range(_PARTS - 1, 0, -1)] if rest > 0 else []

    return [candidates]


def _earlier(small: Small, by: float) -> Small:
    faults = tuple(
        changed_fault(f, start=f.start - by, end=None if f.end is None else f.end - by) for f in small.faults
    )
    kept = [(t - by, y) for t, y in zip(small.time, small.travel, strict=True) if t - by > 0]
    return replace(
        small,
        faults=faults,
        time=(0.0, *(t for t, _ in kept)),
        travel=(small.travel[0], *(y for _, y in kept)),
    )


def _digits(small: Small) -> list[Candidates]:
    """Each number with as few digits as will do."""

    def fault(k: int, name: str) -> Candidates:
        def candidates(now: Small) -> list[Small]:
            fault = now.faults[k]
            made = _rounded(getattr(fault, name), name == "ramp")
            return [_with_fault(now, k, changed_fault(fault, **{name: r})) for r in made]

        return candidates

    def knot(k: int, name: str) -> Candidates:
        def candidates(now: Small) -> list[Small]:
            old = getattr(now, name)
            new = [(*old[:k], r, *old[k + 1 :]) for r in _rounded(old[k], name == "travel")]
            made = [replace(now, time=n) if name == "time" else replace(now, travel=n) for n in new]
            return [m for m in made if all(a < b for a, b in zip(m.time, m.time[1:], strict=False))]

        return candidates

    found = [fault(k, name) for k in range(len(small.faults)) for name in ("amount", "start", "ramp")]
    return found + [knot(k, name) for k in range(1, len(small.time)) for name in ("time", "travel")]


def _rounded(value: float, zero: bool) -> list[float]:
    """Perhaps 0, then the value with 1, 2, 3, 4 digits, up to where it is the same."""
    made = [0.0] * zero + [float(f"{value:.{digits}g}") for digits in (1, 2, 3, 4)]
    return list(dict.fromkeys(made[: made.index(value)] if value in made else made))
