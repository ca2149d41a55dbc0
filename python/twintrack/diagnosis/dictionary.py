# SPDX-License-Identifier: BSD-3-Clause
"""The dictionary: of each cause, what would be observed, draw by draw of the tolerances.

Made by the design ``diagnosis`` in the experiment pipeline and kept by the plan's fingerprint.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..designs.diagnosis.causes import fits
from ..designs.diagnosis.design import Diagnosis
from ..designs.diagnosis.readings import WINDING, ohm_name, volt_name
from ..errors import InputError
from ..experiments.drive import drive
from ..experiments.plan import Plan
from ..experiments.result import Result
from ..parts import catalogue
from ..studies.study import Study
from ..tolerances.apply import SEVERITY
from ..tolerances.distribution import Uniform
from ..tolerances.tolerance import Tolerance
from ..tolerances.usual import usual
from .readings import GROUNDS, SIGNS, Floats, Reading

if TYPE_CHECKING:
    import pandas as pd

#: Draws of each cause.
DRAWS = 20


@dataclass(frozen=True)
class Cause:
    """``family``: wiring, track, mechanics, supply, learn, part; healthy."""

    label: str
    kind: str
    family: str


class Dictionary:
    """``causes`` × ``draws`` of every reading. Use :func:`dictionary_of`."""

    def __init__(self, table: pd.DataFrame, design: Diagnosis) -> None:
        self.design = design
        refused = table.loc[table["status"] != "completed", "cause"].unique()
        table = table[~table["cause"].isin(refused)]
        first = table.drop_duplicates("cause")
        self.causes = [Cause(*row) for row in first[["cause", "kind", "family"]].itertuples(index=False)]
        self.draws = len(table) // len(self.causes)
        order = {cause.label: k for k, cause in enumerate(self.causes)}
        rank = table["cause"].map(order).to_numpy()
        self._table = table.iloc[np.argsort(rank, kind="stable")]
        self._numbers: dict[Reading, Floats] = {}

    @property
    def labels(self) -> list[str]:
        return [cause.label for cause in self.causes]

    def column(self, name: str) -> np.ndarray[Any, Any]:
        """Causes × draws of one column."""
        return self._table[name].to_numpy().reshape(len(self.causes), self.draws)

    def numbers(self, reading: Reading) -> Floats:
        """Causes × draws of a reading that is a number, unscaled. Raises :class:`InputError` for what no
        dictionary holds."""
        if reading not in self._numbers:
            self._numbers[reading] = self._made(reading)
        return self._numbers[reading]

    def _made(self, reading: Reading) -> Floats:
        if reading.kind == "idle_rpm":
            return np.asarray(self.column("idle_rpm"), dtype=float)
        if reading.kind == "ohms":
            for name in (ohm_name(reading.a, reading.b), ohm_name(reading.b, reading.a)):
                if name in self._table:
                    return np.asarray(self.column(name), dtype=float)
            raise InputError(f"the dictionary has no {reading.text}")
        values = self._volts(reading.a, reading.stand)
        return values if reading.b in GROUNDS else values - self._volts(reading.b, reading.stand)

    def _volts(self, point: str, stand: str) -> Floats:
        for name in (volt_name(point, stand), volt_name(point, "rest")):
            if name in self._table:  # what neither foot nor hand moves is kept at rest only
                return np.asarray(self.column(name), dtype=float)
        raise InputError(f"the dictionary has no volts at {point!r}")

    @cached_property
    def readings(self) -> list[Reading]:
        """Everything that can be asked for next."""
        bench, design = self.design.bench, self.design
        found = [Reading(name) for name in SIGNS if name != "idle_rpm" or bench.engine is not None]
        found += [Reading("volts", point, GROUNDS[0], stand) for point, stand in design.volts]
        joints = bench.wiring.pin_out or _core.correct_pin_out(bench.pedal, bench.body)
        for joint in joints:
            if not joint.terminal.startswith("motor"):
                found.append(Reading("volts", joint.terminal, f"pin {joint.pin}", "rest"))
        found.append(Reading("volts", "battery", "controller supply", "rest"))
        return found + [Reading("ohms", a, b) for a, b in [*design.ohms, WINDING]]


def study_of(bench: _core.BenchParameters, pedals: Sequence[Any] = (), bodies: Sequence[Any] = ()) -> Study:
    """A study of one pair and the parts that may have been plugged in by mistake (default: the built-in ones
    that fit)."""
    fields = [f.name for f in bench.fields() if f.name not in ("pedal", "body", "case_number")]
    other_pedals = [p for p in (pedals or catalogue.pedals().values()) if fits(bench.pedal, p)]
    other_bodies = [b for b in (bodies or catalogue.bodies().values()) if fits(bench.body, b)]
    return Study(
        title=f"Diagnosis of {bench.pedal.name} with {bench.body.name}",
        path=Path("diagnosis"),
        pedals={part.name: part for part in [bench.pedal, *other_pedals]},
        bodies={part.name: part for part in [bench.body, *other_bodies]},
        learn=("fresh",),
        bench={name: getattr(bench, name) for name in fields},
        stroke=_core.Stroke.rest_half_full_rest(),
        faults=(),
    )


def plan_of(
    study: Study, pairs: Sequence[str] = (), tolerances: Any = None, only: Sequence[str] = ()
) -> Plan:
    """The checked plan of a dictionary: what scatters, and how severe a fault is. Raises
    :class:`InputError`."""
    design = Diagnosis.checked(study, "lanes", pairs, only)
    found = usual(design.bench) if tolerances is None else tuple(tolerances)
    return Plan(design, (*found, Tolerance(SEVERITY, Uniform(-1.0, 1.0))))


def cache_folder() -> Path:
    """Where dictionaries are kept: below ``$XDG_CACHE_HOME``, else ``~/.cache``."""
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "twintrack" / "dictionaries"


def dictionary_of(
    plan: Plan, *, draws: int = DRAWS, cache: str | Path | None = None, progress: bool = False
) -> Dictionary:
    """The dictionary of a plan, made where it is not kept yet."""
    table = cases_of(plan, draws, cache, progress)
    assert isinstance(plan.design, Diagnosis)
    return Dictionary(table.iloc[: draws * len(plan.specs)], plan.design)


def cases_of(plan: Plan, draws: int, cache: str | Path | None = None, progress: bool = False) -> pd.DataFrame:
    """Every cause × at least ``draws`` draws, as the pipeline's table."""
    folder = Path(cache or cache_folder()) / plan.fingerprint()[:24]
    wanted = draws * len(plan.specs)
    if not (folder / "experiment.json").exists() or len(Result(folder)) < wanted:
        done = drive(plan, folder, wanted, progress=progress)
        if done.failures or done.interrupted:
            raise RuntimeError("the dictionary is not finished: " + "; ".join(done.failures or ["stopped"]))
    return Result(folder).to_pandas()
