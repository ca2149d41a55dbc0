# SPDX-License-Identifier: BSD-3-Clause
"""Range learns under disturbances, as a study names them: one or several, and how strict the learn is.

A disturbance is named by text (``"pressed_once"``) or by a table::

    { disturbance = "pressed_short", amount = "60 %" }
    { disturbance = "noisy_track", where = "throttle.track1", amount = "0.5 %", limits = "careless" }
    { disturbances = ["deposits", { disturbance = "low_supply", amount = 0.8 }], stays = true }

``limits`` is how much the learn believes (else the bench's own learn settings); with ``stays`` what can stay
is still there in the drive.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from .. import _core
from ..errors import closest, listing
from ..files.toml_file import Place, TomlFile
from ..units import quantity, show

if TYPE_CHECKING:
    pass

#: How much a learn believes.
LIMITS = ("strict", "default", "careless")

KINDS = {kind.name: kind for kind in _core.disturbance_catalogue()}


class LearnDisturbance(NamedTuple):
    """One disturbance; ``amount`` is ``None`` for the catalogue's usual one."""

    name: str
    amount: float | None = None
    where: str = ""

    @property
    def text(self) -> str:
        """``"pressed short 60 %"``: name, place, amount."""
        kind = KINDS[self.name]
        amount = "" if kind.least == kind.most else _shown(kind, self.amount)
        return " ".join(filter(None, [self.name.replace("_", " "), self.where, amount]))

    @property
    def core(self) -> _core.LearnDisturbance:
        return _core.LearnDisturbance(self.name, self.amount, self.where)


def _shown(kind: _core.LearnDisturbanceKind, given: float | None) -> str:
    amount = kind.usual if given is None else given
    if kind.unit == "rad":
        return f"{math.degrees(amount):.3g}°"
    if kind.unit:
        return show(amount, kind.unit)
    return f"× {amount:g}" if "factor" in kind.meaning else f"{100 * amount:g} %"


@dataclass(frozen=True)
class DisturbedLearn:
    """A range learn under disturbances; ``limits`` is ``None`` for the bench's own settings."""

    disturbances: tuple[LearnDisturbance, ...]
    limits: str | None = None
    stays: bool = False

    @property
    def name(self) -> str:
        """The disturbances in words."""
        return " and ".join(disturbance.text for disturbance in self.disturbances) or "no disturbance"

    @property
    def text(self) -> str:
        """The same with the limits and what becomes of it."""
        limits = f", {self.limits} limits" if self.limits else ""
        return self.name + limits + (", not mended" if self.stays else "")

    @property
    def can_stay(self) -> bool:
        """Something of it can be left as it is after the learn."""
        return any(KINDS[disturbance.name].can_stay for disturbance in self.disturbances)

    @property
    def core(self) -> list[_core.LearnDisturbance]:
        return [disturbance.core for disturbance in self.disturbances]

    def with_limits(self, limits: str) -> DisturbedLearn:
        return replace(self, limits=limits)


def from_file(file: TomlFile, entry: Any, place: Place) -> DisturbedLearn:
    """The disturbed learn that an entry of a study's ``learn`` names; a text must name a disturbance."""
    if isinstance(entry, str):
        return DisturbedLearn((_disturbance(file, {"disturbance": entry}, place),))
    if not isinstance(entry, dict):
        file.fail(
            place, "must be a learn state, the name of a disturbance, or a table with 'disturbance'", entry
        )
    file.only(place, entry, ["disturbance", "disturbances", "amount", "where", "limits", "stays"])
    limits = entry.get("limits")
    if limits is not None and limits not in LIMITS:
        file.fail((*place, "limits"), f"must be one of {listing(LIMITS)}", limits)
    stays = entry.get("stays", False)
    if not isinstance(stays, bool):
        file.fail((*place, "stays"), "must be true or false", stays)
    made = DisturbedLearn(_disturbances(file, entry, place), limits, stays)
    if stays and not made.can_stay:
        kinds = listing(name for name, kind in KINDS.items() if kind.can_stay)
        file.fail((*place, "stays"), f"nothing of this can stay after the learn; what can: {kinds}", stays)
    try:
        _core.check_disturbances(made.core, stay=stays)
    except _core.InvalidParameter as error:
        file.fail(place, f"cannot happen together: {error}")
    return made


def problem(
    disturbed_learn: DisturbedLearn,
    bench: _core.BenchParameters,
    faults: Sequence[_core.Fault],
    stroke: _core.Stroke,
    brake: _core.Stroke | None,
) -> str:
    """Why the disturbed learn cannot happen on that bench, or stay beside those faults; empty when it can."""
    tracks = {"pedal": len(bench.pedal.tracks), "throttle": len(bench.body.tracks)}
    for disturbance in disturbed_learn.disturbances:
        assembly, _, track = disturbance.where.partition(".track")
        if track and int(track) > tracks[assembly]:
            return f"there is no {disturbance.where}; the {assembly} has {tracks[assembly]} tracks"
    try:
        case = _core.Case(
            parameters=bench,
            stroke=stroke,
            faults=list(faults),
            disturbances=disturbed_learn.core,
            disturbances_stay=disturbed_learn.stays,
            brake=brake,
        )
        _core.Session(bench, stroke, faults=_core.lasting_faults(disturbed_learn.core), brake=brake)
        _core.Session(bench, stroke, faults=case.faults_of_run, brake=brake)
    except _core.InvalidParameter as error:
        return str(error)
    return ""


def _disturbances(file: TomlFile, entry: dict[str, Any], place: Place) -> tuple[LearnDisturbance, ...]:
    single: dict[str, Any] = {key: entry[key] for key in ("disturbance", "amount", "where") if key in entry}
    if "disturbances" not in entry:
        if not single:
            if "limits" in entry:
                return ()  # a good learn under other limits
            file.fail(place, "the table names no 'disturbance'")
        return (_disturbance(file, single, place),)
    if single:
        file.fail(
            place,
            f"has 'disturbances' and {next(iter(single))!r}; give either one disturbance or a list of them",
        )
    entries = entry["disturbances"]
    if not isinstance(entries, list) or not entries:
        file.fail((*place, "disturbances"), "must be a list, not empty", entries)
    found = []
    for i, one in enumerate(entries):
        spot = (*place, "disturbances", i)
        if isinstance(one, dict):
            file.only(spot, one, ["disturbance", "amount", "where"])
        elif not isinstance(one, str):
            file.fail(spot, "must be the name of a disturbance or a table with 'disturbance'", one)
        found.append(_disturbance(file, {"disturbance": one} if isinstance(one, str) else one, spot))
    return tuple(found)


def _disturbance(file: TomlFile, entry: dict[str, Any], place: Place) -> LearnDisturbance:
    name = entry.get("disturbance")
    if not isinstance(name, str) or name not in KINDS:
        hint = closest(name, KINDS) if isinstance(name, str) else ""
        file.fail(
            (*place, "disturbance"), f"there is no such disturbance{hint} (there are: {listing(KINDS)})", name
        )
    kind = KINDS[name]
    amount = None
    if "amount" in entry:
        if kind.least == kind.most:
            file.fail((*place, "amount"), f"{name} takes no amount", entry["amount"])
        try:
            amount = quantity(entry["amount"], kind.unit)
        except ValueError as error:
            file.fail((*place, "amount"), str(error), entry["amount"])
    where = entry.get("where", "")
    if not isinstance(where, str):
        file.fail((*place, "where"), "must be text", where)
    made = LearnDisturbance(name, amount, where)
    try:
        _ = made.core
    except _core.InvalidParameter as error:
        spot = str(getattr(error, "where", ""))
        which = "where" if spot.endswith(".where") else "amount"
        file.fail((*place, which), str(error).removeprefix(f"{spot}: "), entry.get(which))
    return made
