# SPDX-License-Identifier: BSD-3-Clause
"""A lesson: its questions, and the bench it begins with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .. import _core
from ..bench import Bench


@dataclass(frozen=True)
class Question:
    """One question; ``answer`` computes what is right from a formula or by a run.

    A number is right within ``tolerance``, a share of the answer. With ``choices`` the answer is one of them.
    """

    name: str
    asks: str  #: the question in one sentence, with the unit
    answer: Callable[[], float | str]
    hint: str
    tolerance: float = 0.05
    choices: Sequence[str] = ()


@dataclass(frozen=True)
class Setting:
    """The bench a lesson begins with, as plain values; ``changes`` are dotted fields of the bench."""

    pedal: str = "half-slope-low"
    body: str = "opposed-six"
    engine: str | None = None
    changes: Mapping[str, Any] = field(default_factory=dict)
    later: Mapping[str, Any] = field(default_factory=dict)  #: as ``changes``, made after the range learn
    learned_pedal: str | None = None  #: the pedal of the range learn, where it is another one
    time: Sequence[float] = (0.0, 1.0, 1.3, 4.0)
    travel: Sequence[float] = (0.0, 0.0, 0.4, 0.4)
    faults: Sequence[Mapping[str, Any]] = ()

    def bench(self, **changes: Any) -> Bench:
        """The bench after its range learn; ``changes`` are fields of ``ControllerParameters`` on top."""
        teacher = self.unlearned(self.learned_pedal or self.pedal)
        run = teacher.learn()
        if not run.accepted:
            raise RuntimeError(f"the range learn of the lesson was refused: {run.reason}")
        bench = self.unlearned(self.pedal)
        bench.learned = teacher.learned
        more = dict(self.later) | {f"controller.{name}": value for name, value in changes.items()}
        if more:
            bench.parameters = bench.parameters.replace(more)
        return bench

    def unlearned(self, pedal: str) -> Bench:
        """The bench with this pedal before its range learn."""
        bench = Bench(pedal=pedal, body=self.body, engine=self.engine)
        if self.changes:
            bench.parameters = bench.parameters.replace(dict(self.changes))
        return bench

    def stroke(self) -> _core.Stroke:
        return _core.Stroke(time=list(self.time), travel=list(self.travel))

    def fault_values(self) -> list[_core.Fault]:
        return [_core.Fault(**fault) for fault in self.faults]

    def to_dict(self) -> dict[str, Any]:
        """Plain lists, numbers and texts, for a page that opens at the lesson's bench."""
        return {
            "pedal": self.pedal,
            "body": self.body,
            "engine": self.engine,
            "changes": dict(self.changes),
            "changes_after_learn": dict(self.later),
            "learned_with": {"pedal": self.learned_pedal or self.pedal, "body": self.body},
            "stroke": {"time": list(self.time), "travel": list(self.travel)},
            "faults": [dict(fault) for fault in self.faults],
        }


@dataclass(frozen=True)
class Lesson:
    """``file`` is its name in ``examples/lessons``."""

    name: str
    title: str
    file: str
    questions: Sequence[Question]
    setting: Setting
