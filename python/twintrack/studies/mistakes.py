# SPDX-License-Identifier: BSD-3-Clause
"""Range learns that go wrong, as a study names them: one mishap or several, and how strict the learn is.

A mishap is named by text (``"pressed_once"``) or by a table::

    { mishap = "pressed_short", amount = "60 %" }
    { mishap = "noisy_track", where = "throttle.track1", amount = "0.5 %", limits = "careless" }
    { mishaps = ["deposits", { mishap = "low_supply", amount = 0.8 }], limits = "strict", stays = true }

``limits`` is how much the learn believes (else the bench's own learn settings); with ``stays`` what can stay
is still there in the drive, because nobody mends it.
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

KINDS = {kind.name: kind for kind in _core.mishap_catalogue()}


class Mishap(NamedTuple):
    """One thing that goes wrong; ``amount`` is ``None`` for the catalogue's usual one."""

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
    def core(self) -> _core.Mishap:
        return _core.Mishap(self.name, self.amount, self.where)


def _shown(kind: _core.MishapKind, given: float | None) -> str:
    amount = kind.usual if given is None else given
    if kind.unit == "rad":
        return f"{math.degrees(amount):.3g}°"
    if kind.unit:
        return show(amount, kind.unit)
    return f"× {amount:g}" if "factor" in kind.meaning else f"{100 * amount:g} %"


@dataclass(frozen=True)
class Mistake:
    """A learn during which something goes wrong; ``limits`` is ``None`` for the bench's own settings."""

    mishaps: tuple[Mishap, ...]
    limits: str | None = None
    stays: bool = False

    @property
    def name(self) -> str:
        """What goes wrong, in words."""
        return " and ".join(mishap.text for mishap in self.mishaps) or "nothing wrong"

    @property
    def text(self) -> str:
        """The same with the limits and what becomes of it."""
        limits = f", {self.limits} limits" if self.limits else ""
        return self.name + limits + (", not mended" if self.stays else "")

    @property
    def can_stay(self) -> bool:
        """Something of it can be left as it is after the learn."""
        return any(KINDS[mishap.name].can_stay for mishap in self.mishaps)

    @property
    def core(self) -> list[_core.Mishap]:
        return [mishap.core for mishap in self.mishaps]

    def with_limits(self, limits: str) -> Mistake:
        return replace(self, limits=limits)


def from_file(file: TomlFile, entry: Any, place: Place) -> Mistake:
    """The mistake that an entry of a study's ``learn`` names; a text must be a known mishap's."""
    if isinstance(entry, str):
        return Mistake((_mishap(file, {"mishap": entry}, place),))
    if not isinstance(entry, dict):
        file.fail(place, "must be a learn state, the name of a mishap, or a table with 'mishap'", entry)
    file.only(place, entry, ["mishap", "mishaps", "amount", "where", "limits", "stays"])
    limits = entry.get("limits")
    if limits is not None and limits not in LIMITS:
        file.fail((*place, "limits"), f"must be one of {listing(LIMITS)}", limits)
    stays = entry.get("stays", False)
    if not isinstance(stays, bool):
        file.fail((*place, "stays"), "must be true or false", stays)
    made = Mistake(_mishaps(file, entry, place), limits, stays)
    if stays and not made.can_stay:
        kinds = listing(name for name, kind in KINDS.items() if kind.can_stay)
        file.fail((*place, "stays"), f"nothing of this can stay after the learn; what can: {kinds}", stays)
    try:
        _core.check_mishaps(made.core, stay=stays)
    except _core.InvalidParameter as error:
        file.fail(place, f"cannot happen together: {error}")
    return made


def problem(
    mistake: Mistake,
    bench: _core.BenchParameters,
    faults: Sequence[_core.Fault],
    stroke: _core.Stroke,
    brake: _core.Stroke | None,
) -> str:
    """Why the mistake cannot happen on that bench, or stay beside those faults; empty when it can."""
    tracks = {"pedal": len(bench.pedal.tracks), "throttle": len(bench.body.tracks)}
    for mishap in mistake.mishaps:
        assembly, _, track = mishap.where.partition(".track")
        if track and int(track) > tracks[assembly]:
            return f"there is no {mishap.where}; the {assembly} has {tracks[assembly]} tracks"
    try:
        case = _core.Case(
            parameters=bench,
            stroke=stroke,
            faults=list(faults),
            mishaps=mistake.core,
            mishaps_stay=mistake.stays,
            brake=brake,
        )
        _core.Session(bench, stroke, faults=_core.lasting_faults(mistake.core), brake=brake)
        _core.Session(bench, stroke, faults=case.faults_of_run, brake=brake)
    except _core.InvalidParameter as error:
        return str(error)
    return ""


def _mishaps(file: TomlFile, entry: dict[str, Any], place: Place) -> tuple[Mishap, ...]:
    single: dict[str, Any] = {key: entry[key] for key in ("mishap", "amount", "where") if key in entry}
    if "mishaps" not in entry:
        if not single:
            if "limits" in entry:
                return ()  # a good learn under other limits
            file.fail(place, "the table names no 'mishap'")
        return (_mishap(file, single, place),)
    if single:
        file.fail(
            place, f"has 'mishaps' and {next(iter(single))!r}; give either one mishap or a list of them"
        )
    entries = entry["mishaps"]
    if not isinstance(entries, list) or not entries:
        file.fail((*place, "mishaps"), "must be a list, not empty", entries)
    found = []
    for i, one in enumerate(entries):
        spot = (*place, "mishaps", i)
        if isinstance(one, dict):
            file.only(spot, one, ["mishap", "amount", "where"])
        elif not isinstance(one, str):
            file.fail(spot, "must be the name of a mishap or a table with 'mishap'", one)
        found.append(_mishap(file, {"mishap": one} if isinstance(one, str) else one, spot))
    return tuple(found)


def _mishap(file: TomlFile, entry: dict[str, Any], place: Place) -> Mishap:
    name = entry.get("mishap")
    if not isinstance(name, str) or name not in KINDS:
        hint = closest(name, KINDS) if isinstance(name, str) else ""
        file.fail((*place, "mishap"), f"there is no such mishap{hint} (there are: {listing(KINDS)})", name)
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
    made = Mishap(name, amount, where)
    try:
        _ = made.core
    except _core.InvalidParameter as error:
        spot = str(getattr(error, "where", ""))
        which = "where" if spot.endswith(".where") else "amount"
        file.fail((*place, which), str(error).removeprefix(f"{spot}: "), entry.get(which))
    return made
