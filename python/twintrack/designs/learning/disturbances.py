# SPDX-License-Identifier: BSD-3-Clause
"""Which learn disturbances are tried, and under which limits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ...studies.mistakes import KINDS, LIMITS, Mishap, Mistake
from ...studies.study import Study

#: What becomes of the cause after the learn.
MENDED, STAYS = "mended", "not mended"

#: Nothing goes wrong: what the others are compared with.
GOOD = Mistake(())


def every_mistake() -> list[Mistake]:
    """Each mishap of the catalogue alone, in each of its severities, at two places where it needs one."""
    return [
        Mistake((Mishap(name, amount, where),))
        for name, kind in KINDS.items()
        for where in _places(kind.places)
        for amount in (*kind.severities,) or (None,)
    ]


def _places(places: list[str]) -> list[str]:
    """None, the assemblies, or the first track of each."""
    return [place for place in places if ".track" not in place or place.endswith(".track1")] or [""]


def mistakes(study: Study) -> list[Mistake]:
    """The mistakes that the study names, or every one, behind a good learn."""
    named = [entry for entry in study.learn if isinstance(entry, Mistake) and entry.mishaps]
    return [GOOD, *(named or every_mistake())]


def with_limits(named: list[Mistake]) -> Iterator[Mistake]:
    seen = set()
    for mistake in named:
        for limits in (mistake.limits,) if mistake.limits else LIMITS:
            made = replace(mistake, limits=limits, stays=False)
            if made not in seen:
                seen.add(made)
                yield made
