# SPDX-License-Identifier: BSD-3-Clause
"""The case of least margin: what is free is searched, whole populations at a time.

``examples/search.toml`` teaches the tables.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np

from ... import _core
from ...errors import InputError, closest, listing
from ...files.toml_file import TomlFile
from ...pages.section import Section
from ...search.strategies import STRATEGIES, Axis
from ...studies.study import Study
from ...tolerances.distribution import Choice
from ...tolerances.tolerance import Tolerance
from ...units import quantity
from ..pursuit import Ask, Pursuit, check_first, made, read_pursuit, values
from . import faults as free_faults
from . import foot as free_foot
from . import sections
from .faults import FreeFault, Kind
from .foot import Foot

if TYPE_CHECKING:
    import pandas as pd

_KEYS = ["rule", "runs", "population", "method", "healthy_before", "stop", "time", "foot", "faults"]
MOST_RUNS = 1_000_000


@dataclass(frozen=True)
class Search(Pursuit):
    """The least margin of a rule, or of the hazard, over tolerances, faults and strokes."""

    method: str = "differential evolution"
    population: int = 128
    first: bool = False  #: end with the first counterexample
    time: float | None = None  #: [s] a call may take
    foot: Foot | None = None
    free: tuple[FreeFault, ...] = ()
    source: Mapping[str, Any] | None = None  #: the file's table, from which a counterexample is written

    name = "search"
    table = "search"
    one_noise: ClassVar[bool] = True

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Search:
        common = read_pursuit(file, study, "search", MOST_RUNS, 2000)
        table = file.table["search"] if "search" in file.table else file.table.setdefault("search", {})
        file.only(("search",), table, _KEYS)
        foot = free_foot.read(file, study)
        kinds = cls(study, solver).kinds
        duration = foot.end if foot and foot.knots else study.stroke.duration
        free = free_faults.read(file, kinds, duration)
        if not (free or (foot and foot.knots) or file.table.get("tolerances")):
            file.fail(
                ("search",),
                "nothing is free, so there is nothing to search: give [tolerances], [[search.faults]] or "
                "[search.foot] with knots",
            )
        stop = table.get("stop", "budget")
        if stop not in ("budget", "first"):
            file.fail(("search", "stop"), "must be 'budget' or 'first' (the first counterexample)", stop)
        own = {
            **common,
            "method": _method(file, table),
            "population": _population(file, table),
            "first": stop == "first",
            "time": _time(file, table),
        }
        found: Search = made(
            file, "search", lambda: cls(study, solver, **own, foot=foot, free=free, source=file.table)
        )
        return found

    def options(self) -> dict[str, Any]:
        return super().options() | {
            "method": self.method,
            "population": self.population,
            "first": self.first,
            "time": self.time,
            "foot": asdict(self.foot) if self.foot else None,
            "free": [asdict(fault) for fault in self.free],
            "source": dict(self.source or {}),
        }

    @classmethod
    def restore(cls, study: Study, solver: str, options: Mapping[str, Any]) -> Search:
        values = dict(options)
        foot, free = values.pop("foot"), values.pop("free")
        made = tuple(
            FreeFault(**{k: tuple(v) if isinstance(v, list) else v for k, v in fault.items()})
            for fault in free
        )
        return cls(study, solver, **values, foot=Foot(**foot) if foot else None, free=made)

    @cached_property
    def kinds(self) -> dict[str, Kind]:
        """The faults that the pair can have."""
        pair = self.study.pairings()[0]
        bench = self.study.bench_of(pair, 0)
        return free_faults.kinds_of(bench, self.study.brake is not None)

    @cached_property
    def own(self) -> tuple[Tolerance, ...]:
        foot = self.foot.tolerances() if self.foot else []
        return (*free_faults.tolerances_of(self.free, self.kinds), *foot)

    def faults_drawn(
        self, faults: tuple[_core.Fault, ...], draw: Mapping[str, Any]
    ) -> tuple[_core.Fault, ...]:
        return (*faults, *free_faults.faults_at(self.free, self.kinds, draw))

    @property
    def stroke(self) -> _core.Stroke:
        return self.stroke_drawn({})

    def stroke_drawn(self, draw: Mapping[str, Any]) -> _core.Stroke:
        if self.foot is None or not self.foot.knots:
            return self.study.stroke
        return self.foot.stroke(draw)

    def pursue(self, plan: Any, ask: Ask) -> None:
        seen: list[float] = []

        def found(shares: np.ndarray) -> np.ndarray:
            from ...search.strategies import Spent

            rows = ask(plan.draws_at(np.clip(shares, EDGE, 1.0 - EDGE)))
            if not seen:
                check_first(self, rows, str(self.study.path))
            margins = values(rows)
            seen.append(float(margins.min()))
            if self.first and seen[-1] < 0:
                raise Spent
            return margins

        STRATEGIES[self.method](found, axes(plan.tolerances), plan.seed, self.population)

    def headline(self, table: pd.DataFrame) -> str:
        return sections.headline(self, table)

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        return sections.sections(self, result, table)


#: Shares are kept this far from 0 and 1.
EDGE = 1e-9


def axes(tolerances: tuple[Tolerance, ...]) -> list[Axis]:
    """The coordinates of the cube that tolerances make."""
    found = []
    for one in tolerances:
        d = one.distribution
        found.append(Axis(tuple(np.cumsum(d.weights).tolist())) if isinstance(d, Choice) else Axis())
    return found


def _method(file: TomlFile, table: dict[str, Any]) -> str:
    method = table.get("method", "differential evolution")
    if method not in STRATEGIES:
        hint = closest(str(method), STRATEGIES)
        file.fail(
            ("search", "method"), f"there is no such method{hint} (there are: {listing(STRATEGIES)})", method
        )
    return str(method)


def _population(file: TomlFile, table: dict[str, Any]) -> int:
    population = table.get("population", 128)
    if type(population) is not int or not 5 <= population <= 4096:
        file.fail(("search", "population"), "must be a whole number from 5 to 4096", population)
    return population


def _time(file: TomlFile, table: dict[str, Any]) -> float | None:
    if "time" not in table:
        return None
    try:
        seconds = quantity(table["time"], "s")
    except InputError as error:
        file.fail(("search", "time"), str(error), table["time"])
    if not seconds > 0:
        file.fail(("search", "time"), "must be above 0", table["time"])
    return seconds
