# SPDX-License-Identifier: BSD-3-Clause
"""What an audit is: every single fault of a pair, at several instants of a drive, under several monitors.

Any study file can be audited; its table ``[audit]`` says how (``examples/audit.toml`` teaches it).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from .. import _core
from ..errors import InputError, listing
from ..files import toml_file
from ..files.toml_file import Place, TomlFile
from ..parts import catalogue as parts
from ..rulebooks import rulebook
from ..studies import reader as studies
from ..studies import setups
from ..studies.study import Study
from ..units import quantity
from .faults import SingleFault, single_faults

#: When a fault can come, in the order of the tables, and what is meant.
INSTANTS = {
    "at rest": "foot off, in the middle of the first hold at rest",
    "part load": "in the middle of the first hold between rest and full",
    "full": "in the middle of the first hold at full travel",
    "tip-in": "in the middle of the steepest press",
    "tip-out": "in the middle of the steepest release",
    "crossing": "the blade, following the foot, first passes the position where its springs would leave it",
}

#: The drive of an audit whose file names no stroke [s], [share of travel]: press, press on, let go, again.
#: The last rest is long enough for a return that takes 3 s to be too late.
DRIVE = _core.Stroke(
    time=[0.0, 1.0, 1.5, 3.1, 3.3, 4.9, 5.1, 6.7, 6.9, 7.4, 7.6, 11.2],
    travel=[0.0, 0.0, 0.4, 0.4, 1.0, 1.0, 0.0, 0.0, 0.6, 0.6, 0.0, 0.0],
)

#: The set-up that shows what a fault does when nobody looks; it is always run, because coverage needs it.
UNWATCHED = "none"


@dataclass(frozen=True)
class AuditCase:
    """One run: a pair under one set-up, with one fault from one instant on, or healthy."""

    pedal: str
    body: str
    setup: str
    fault: SingleFault | None = None
    instant: str = ""

    @property
    def label(self) -> str:
        fault = f"{self.fault.label}, {self.instant}" if self.fault else "no fault"
        return f"{self.pedal} + {self.body}, {self.setup}: {fault}"


@dataclass(frozen=True)
class Audit:
    """A checked audit. ``tolerance`` [s] is the fault-tolerant time."""

    study: Study
    setups: Mapping[str, _core.MonitorParameters]
    instants: Sequence[str]
    tolerance: float
    rules: tuple[_core.Rule, ...]
    stroke: _core.Stroke

    @property
    def pairs(self) -> list[tuple[str, str]]:
        return list(itertools.product(self.study.pedals, self.study.bodies))

    def faults(self, pedal: str, body: str) -> list[SingleFault]:
        return single_faults(self.study.parameters(pedal, body, 0), brake=self.study.brake is not None)

    def healthy(self) -> list[AuditCase]:
        """The runs without a fault, by pair and set-up."""
        return [AuditCase(pedal, body, name) for pedal, body in self.pairs for name in self.setups]

    def cases(self) -> list[AuditCase]:
        """The runs with a fault. The set-ups stand side by side, so that what is finished can be compared."""
        return [
            replace(case, fault=fault, instant=instant)
            for pedal, body in self.pairs
            for fault, instant in itertools.product(self.faults(pedal, body), self.instants)
            for case in (AuditCase(pedal, body, name) for name in self.setups)
        ]

    def parameters(self, case: AuditCase) -> _core.BenchParameters:
        """The bench of a case. All cases of a pair have the same noise, so that only the fault differs."""
        number = self.pairs.index((case.pedal, case.body))
        bench = self.study.parameters(case.pedal, case.body, number)
        return bench.replace(monitor=self.setups[case.setup])

    def core_case(self, case: AuditCase, start: float = 0.0) -> _core.Case:
        """The case as the core runs it; ``start`` [s] is when the fault comes."""
        faults = [case.fault.at(start)] if case.fault else []
        return _core.Case(
            parameters=self.parameters(case), stroke=self.stroke, faults=faults, brake=self.study.brake
        )


def load(path: str | Path) -> Audit:
    """Reads and checks a study file with its table ``[audit]``, which may be absent.

    Raises :class:`InputError` at the first mistake.
    """
    file = toml_file.read(path)
    study = studies.load(path)
    if "faults" in file.table:
        file.fail(("faults", 0), "an audit makes its own faults, each alone; leave these out")
    table = file.table.get("audit", {})
    if not isinstance(table, dict):
        file.fail(("audit",), "must be a table ([audit])", table)
    file.only(("audit",), table, ["setups", "instants", "tolerance", "monitor"])
    stroke = study.stroke if "stroke" in file.table else DRIVE
    return Audit(
        study=study,
        setups=_setups(file, table, study),
        instants=_instants(file, table, stroke),
        tolerance=_tolerance(file, table),
        rules=study.rules or tuple(rulebook.rules()),
        stroke=stroke,
    )


def times(stroke: _core.Stroke, blade: Any, time: Any, default_opening: float) -> dict[str, float]:
    """When each instant of a stroke is [s]; those it does not have are left out.

    ``blade`` over ``time`` [s] is the opening of the healthy run, ``default_opening`` where springs leave it.
    """
    found = _foot_times(stroke)
    pressing = next((t for (t, _), (_, b), a in _pieces(stroke) if b > a), None)
    if pressing is not None:
        after = time >= pressing
        crossed = after[1:] & (blade[:-1] < default_opening) & (blade[1:] >= default_opening)
        if crossed.any():
            found["crossing"] = float(time[1:][crossed][0])
    return {name: found[name] for name in INSTANTS if name in found}


def _pieces(stroke: _core.Stroke) -> list[tuple[tuple[float, float], tuple[float, float], float]]:
    """((start, end), (first, last), first) of each straight piece: times [s] and shares of travel."""
    t, y = stroke.time, stroke.travel
    return [((t[i - 1], t[i]), (y[i - 1], y[i]), y[i - 1]) for i in range(1, len(t))]


def _foot_times(stroke: _core.Stroke) -> dict[str, float]:
    """The instants that follow from the foot alone."""
    found: dict[str, float] = {}
    steepest = {"tip-in": 0.0, "tip-out": 0.0}
    for (start, end), (first, last), _ in _pieces(stroke):
        middle = round((start + end) / 2, 3)
        if first == last:
            name = "at rest" if first <= 0.02 else "full" if first >= 0.98 else "part load"
            found.setdefault(name, middle)
            continue
        name, slope = "tip-in" if last > first else "tip-out", abs(last - first) / (end - start)
        if slope > steepest[name]:
            steepest[name], found[name] = slope, middle
    return found


def _setups(file: TomlFile, table: dict[str, Any], study: Study) -> dict[str, _core.MonitorParameters]:
    place: Place = ("audit", "monitor")
    own = table.get("monitor", {})
    if not isinstance(own, dict):
        file.fail(place, "must be tables ([audit.monitor.NAME])", own)
    known = {name: parts.build(file, _core.MonitorParameters, own[name], (*place, name)) for name in own}
    for name in own:
        if name in setups.MEANING:
            file.fail(
                (*place, name), f"is a built-in set-up; choose a name other than {listing(setups.MEANING)}"
            )
    names = _names(file, table, "setups", ["default", UNWATCHED, *own])
    found = {}
    for name in names if UNWATCHED in names else [*names, UNWATCHED]:
        try:
            found[name] = known[name] if name in known else setups.setup(name)
        except InputError as error:
            file.fail(("audit", "setups"), f"{error}; or one of [audit.monitor.NAME]")
    if "default" in found:
        found["default"] = study.bench.get("monitor", found["default"])
    return found


def _instants(file: TomlFile, table: dict[str, Any], stroke: _core.Stroke) -> list[str]:
    has = [*_foot_times(stroke), "crossing"]
    names = _names(file, table, "instants", [name for name in INSTANTS if name in has])
    for name in names:
        if name not in INSTANTS:
            file.fail(("audit", "instants"), f"there is no instant {name!r} (there are: {listing(INSTANTS)})")
        if name not in has:
            file.fail(("audit", "instants"), f"the stroke has no instant {name!r}: {INSTANTS[name]}")
    return names


def _names(file: TomlFile, table: dict[str, Any], key: str, default: list[str]) -> list[str]:
    names = table.get(key, default)
    if not isinstance(names, list) or not names or not all(isinstance(name, str) for name in names):
        file.fail(("audit", key), "must be a list of texts, not empty", names)
    return list(dict.fromkeys(names))


def _tolerance(file: TomlFile, table: dict[str, Any]) -> float:
    place: Place = ("audit", "tolerance")
    try:
        seconds = quantity(table.get("tolerance", "0.5 s"), "s")
    except InputError as error:
        file.fail(place, str(error), table["tolerance"])
    if not 0.0 < seconds <= 60.0:
        file.fail(place, "must be above 0 s and at most 60 s", table["tolerance"])
    return seconds
