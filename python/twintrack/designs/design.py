# SPDX-License-Identifier: BSD-3-Clause
"""What a design is: the cases of a study before anything scatters, and what is its own about them.

Everything around it – learns, solver, chunks, folder, replay, tables, page – exists once, in ``experiments``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from .. import _core
from ..files.toml_file import TomlFile
from ..pages import severity
from ..pages.section import Section
from ..studies.study import Pairing, Study
from ..tolerances.tolerance import Tolerance
from . import outcome

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Spec:
    """One case before anything scatters."""

    pairing: Pairing  #: what is plugged in, what was learned with, disturbance of the learn
    labels: Mapping[str, Any] = field(default_factory=dict)  #: the design's own columns
    faults: tuple[_core.Fault, ...] | None = None  #: those of the run; None: the study's
    setup: str = ""  #: a key of the design's ``changes``
    noise: int | None = None  #: number of its noise; None: that of the case


@dataclass(frozen=True)
class Design:
    """The base of all designs; as it stands it varies nothing but pairs and learn states."""

    study: Study
    solver: str = "lanes"

    name: ClassVar[str] = "pairing"
    #: The table of a study file that is read by this design; empty: none.
    table: ClassVar[str] = ""
    #: Columns of labels, with what stands there in a case that has none.
    columns: ClassVar[dict[str, Any]] = {}
    #: [share of travel], [s]: the hazard, where the study says nothing.
    hazard_default: ClassVar[tuple[float, float]] = (0.10, 0.1)
    #: Whether later cases follow from what earlier ones gave (``pursuit.py``).
    adaptive: ClassVar[bool] = False
    #: Whether all cases meet the same noise.
    one_noise: ClassVar[bool] = False

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Design:
        """The design as a checked file asks for it; raises :class:`InputError` with the place."""
        return cls(study, solver)

    def options(self) -> dict[str, Any]:
        """What :meth:`read` took from the file, as plain values fit for JSON; keywords of the constructor."""
        return {}

    @classmethod
    def restore(cls, study: Study, solver: str, options: Mapping[str, Any]) -> Design:
        """The inverse of :meth:`options`."""
        return cls(study, solver, **options)

    @cached_property
    def specs(self) -> Sequence[Spec]:
        """All cases, in order; the same study gives the same."""
        return [Spec(pairing) for pairing in self.study.pairings()]

    @cached_property
    def changes(self) -> Mapping[str, Mapping[str, Any]]:
        """What each set-up changes on the bench, by dotted name."""
        return {"": {}}

    @property
    def signals(self) -> tuple[str, ...]:
        """What :meth:`measure` reads from a record; a case keeps no others."""
        return ()

    @property
    def stroke(self) -> _core.Stroke:
        return self.study.stroke

    @property
    def own(self) -> tuple[Tolerance, ...]:
        """Parameters of the design's own that are drawn beside the study's tolerances; their names begin with
        "fault" or "foot"."""
        return ()

    def faults_drawn(
        self, faults: tuple[_core.Fault, ...], draw: Mapping[str, Any]
    ) -> tuple[_core.Fault, ...]:
        """The faults of a case, with what was drawn for the parameters of the design's own."""
        return faults

    def stroke_drawn(self, draw: Mapping[str, Any]) -> _core.Stroke:
        """The stroke of a case, in the same way."""
        return self.stroke

    @property
    def hazard(self) -> tuple[float, float]:
        """Uncommanded opening [share of travel] and time [s] beyond which it is a hazard."""
        opening, time = self.study.hazard
        usual = self.hazard_default
        return usual[0] if opening is None else opening, usual[1] if time is None else time

    @property
    def rules(self) -> Sequence[_core.Rule]:
        """Held against each run."""
        return self.study.rules

    @property
    def more_rules(self) -> Sequence[_core.Rule]:
        """Judged by :meth:`measure`, with columns of their own beside those."""
        return ()

    def judge_of(self, spec: Spec, case: _core.Case) -> _core.BenchParameters:
        """The bench by which rules are judged."""
        return case.parameters

    def empty(self) -> dict[str, Any]:
        """The columns of :meth:`measure` for a case that was not run."""
        found = outcome.EMPTY | severity.EMPTY
        return found | (outcome.IDLE if self.study.engine is not None else {})

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        """What became of a case, as columns; ``ran.result.record`` holds :attr:`signals`."""
        result = ran.result
        assert result is not None
        faults = bool(case.faults_of_run)
        row = outcome.columns(result) | outcome.rated(result, faults or spec.pairing.learn != "fresh", faults)
        row["learn_refusal"] = learned.refusal if learned and not learned.accepted else ""
        return row

    def measure_together(self, cases: Sequence[tuple[Spec, _core.Case]]) -> list[dict[str, Any]]:
        """More columns of each case, found quicker of many at once."""
        return [{} for _ in cases]

    def without_run(self, spec: Spec, learned: Any) -> dict[str, Any] | None:
        """The columns of a case that needs no run after its learn; ``None``: it is run."""
        return None

    def judge(self, table: pd.DataFrame) -> pd.DataFrame:
        """Adds the columns that follow from several cases together."""
        return table

    def headline(self, table: pd.DataFrame) -> str:
        """The answer in a few sentences."""
        raise NotImplementedError

    def tally(self, table: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
        """Head and rows of the table that the terminal shows."""
        raise NotImplementedError

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        """The sections of the report that are this design's own, the picture that answers first."""
        raise NotImplementedError

    def label(self, spec: Spec) -> str:
        """Short text for one case."""
        own = [str(spec.labels[name]) for name in self.columns if spec.labels.get(name) not in ("", None)]
        return ", ".join([spec.pairing.label, *own])
