# SPDX-License-Identifier: BSD-3-Clause
"""A study of range learns that go wrong: which are tried, under which limits, and what each came to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..studies.mistakes import KINDS, LIMITS, Mishap, Mistake
from ..studies.study import Pairing, Study

#: What a learn came to, the most dangerous first, in words.
VERDICTS = {
    "dangerous": "accepted; then the blade opens more than {unasked} beyond what the foot asks for longer "
    "than {unasked_time}, or the motor pushes it against a stop for over 1 s with more than half of its "
    "stall current",
    "wrong": "accepted; then the blade is more than {settled} off what the foot asks, or a written rule is "
    "broken that a good learn keeps",
    "none": "accepted; then the blade does not answer: the monitor takes the motor's power away",
    "harmless": "accepted, and the drive is right: within {settled} of travel of what the foot asks",
    "refused": "the learn names a reason and keeps what it knew",
}

#: The same as heads of columns.
WORDS = {
    "dangerous": "DANGEROUS",
    "wrong": "WRONG",
    "none": "no answer",
    "harmless": "harmless",
    "refused": "refused",
}

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


def trials(study: Study) -> list[Pairing]:
    """The learns to run: pair by mistake by limits (all three where the study names none)."""
    return [
        Pairing(pedal, body, "faulty", pedal, body, mistake=mistake)
        for pedal in study.pedals
        for body in study.bodies
        for mistake in _with_limits(mistakes(study))
    ]


def _with_limits(named: list[Mistake]) -> Iterator[Mistake]:
    seen = set()
    for mistake in named:
        for limits in (mistake.limits,) if mistake.limits else LIMITS:
            made = replace(mistake, limits=limits, stays=False)
            if made not in seen:
                seen.add(made)
                yield made


def drives(trial: Pairing) -> list[Pairing]:
    """What is driven after the learn was accepted: with the cause mended, and with it still there."""
    assert trial.mistake is not None
    left = [replace(trial, mistake=replace(trial.mistake, stays=True))] if trial.mistake.can_stay else []
    return [trial, *left]
