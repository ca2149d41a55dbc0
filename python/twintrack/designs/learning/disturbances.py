# SPDX-License-Identifier: BSD-3-Clause
"""Which learn disturbances are tried, and under which limits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ...studies.disturbed_learns import KINDS, LIMITS, DisturbedLearn, LearnDisturbance
from ...studies.study import Study

#: What becomes of the cause after the learn.
MENDED, STAYS = "mended", "not mended"

#: Without a disturbance: the reference of the others.
GOOD = DisturbedLearn(())


def every_disturbed_learn() -> list[DisturbedLearn]:
    """Each disturbance of the catalogue by itself, in each of its severities, at two places if needed."""
    return [
        DisturbedLearn((LearnDisturbance(name, amount, where),))
        for name, kind in KINDS.items()
        for where in _places(kind.places)
        for amount in (*kind.severities,) or (None,)
    ]


def _places(places: list[str]) -> list[str]:
    """None, the assemblies, or the first track of each."""
    return [place for place in places if ".track" not in place or place.endswith(".track1")] or [""]


def disturbed_learns(study: Study) -> list[DisturbedLearn]:
    """The disturbed learns that the study names, or every one, behind a good learn."""
    named = [entry for entry in study.learn if isinstance(entry, DisturbedLearn) and entry.disturbances]
    return [GOOD, *(named or every_disturbed_learn())]


def with_limits(named: list[DisturbedLearn]) -> Iterator[DisturbedLearn]:
    seen = set()
    for disturbed_learn in named:
        for limits in (disturbed_learn.limits,) if disturbed_learn.limits else LIMITS:
            made = replace(disturbed_learn, limits=limits, stays=False)
            if made not in seen:
                seen.add(made)
                yield made
