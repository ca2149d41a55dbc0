# SPDX-License-Identifier: BSD-3-Clause
"""Answers of a lesson's reader, compared with what the simulation or a formula gives."""

from __future__ import annotations

import functools
import importlib
import math
from dataclasses import dataclass
from html import escape
from typing import Any

from ..bench import Bench
from ..errors import InputError, closest, listing
from ..units import finite
from .lesson import Lesson, Question

#: The modules of the lessons, in their order.
_MODULES = (
    "open_loop",
    "pid",
    "feed_forward",
    "two_tracks",
    "learned_range",
    "wiring",
    "idle",
    "campaign",
)


@dataclass(frozen=True)
class Feedback:
    """``right`` is ``None`` while a question is not answered."""

    right: bool | None
    text: str

    def __str__(self) -> str:
        return self.text

    __repr__ = __str__

    def _repr_html_(self) -> str:
        colour = {True: "#01827a", False: "#8e0b26", None: "#566370"}[self.right]
        sign = {True: "✔", False: "✘", None: "?"}[self.right]
        style = (
            f"border-left:5px solid {colour};padding:6px 12px;background:#fff;color:#1b2733;max-width:60em"
        )
        return f'<div style="{style}">{sign} {escape(self.text)}</div>'


@functools.cache
def _all() -> dict[str, Lesson]:
    found = [importlib.import_module(f".{name}", __package__).LESSON for name in _MODULES]
    return {lesson.name: lesson for lesson in found}


def lessons() -> dict[str, str]:
    """Name and title of each lesson, in their order."""
    return {name: lesson.title for name, lesson in _all().items()}


def lesson_of(name: str) -> Lesson:
    """Raises :class:`InputError` for a name that no lesson has."""
    if not isinstance(name, str) or name not in _all():
        raise InputError(
            f"there is no lesson {name!r}{closest(str(name), _all())} (there are: {listing(_all())})"
        )
    return _all()[name]


def questions(lesson: str) -> dict[str, str]:
    """Name and text of each question of a lesson, in their order."""
    return {question.name: question.asks for question in lesson_of(lesson).questions}


def state(lesson: str) -> dict[str, Any]:
    """The bench a lesson begins with, as plain values: pedal, body, changes of fields, stroke, faults."""
    return lesson_of(lesson).setting.to_dict()


def bench(lesson: str) -> Bench:
    """The same as a :class:`Bench`, after its range learn."""
    return lesson_of(lesson).setting.bench()


def check(lesson: str, question: str, answer: float | str | None) -> Feedback:
    """Whether an answer is right; a wrong one gets a hint, ``None`` the question.

    Numbers are in the unit that the question states. Raises :class:`InputError` for a lesson or question that
    does not exist, and for an answer of the wrong kind.
    """
    named = {q.name: q for q in lesson_of(lesson).questions}
    if not isinstance(question, str) or question not in named:
        raise InputError(
            f"lesson {lesson!r} has no question {question!r}{closest(str(question), named)} "
            f"(there are: {listing(named)})"
        )
    asked = named[question]
    if answer is None:
        return Feedback(None, f"Not answered yet. {asked.asks}{_choices(asked)}")
    return _of_choice(asked, answer) if asked.choices else _of_number(asked, answer)


def _choices(question: Question) -> str:
    return f" One of: {listing(repr(choice) for choice in question.choices)}." if question.choices else ""


@functools.cache
def answer_of(question: Question) -> float | str:
    """Its answer, computed once."""
    return question.answer()


def _of_choice(question: Question, answer: Any) -> Feedback:
    if not isinstance(answer, str) or answer not in question.choices:
        allowed = listing(map(repr, question.choices))
        raise InputError(f"{question.name}: the answer must be one of {allowed}; got {answer!r}")
    if answer == answer_of(question):
        return Feedback(True, "Right.")
    return Feedback(False, f"Not right. {question.hint}")


def _of_number(question: Question, answer: Any) -> Feedback:
    given = finite(answer)
    if math.isnan(given):
        raise InputError(
            f"{question.name}: the answer must be a finite number; got {answer!r}. {question.asks}"
        )
    right = float(answer_of(question))
    if abs(given - right) <= question.tolerance * abs(right):
        return Feedback(True, f"Right: {right:.4g}, within {100 * question.tolerance:g} %.")
    way = "high" if given > right else "low"
    return Feedback(False, f"Not right: {given:.4g} is too {way}. {question.hint}")
