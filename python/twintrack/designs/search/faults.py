# SPDX-License-Identifier: BSD-3-Clause
"""Faults whose kind, strength and time are searched: the tables ``[[search.faults]]``.

[[search.faults]]
kinds = ["pedal.track1 offset", "throttle.track2 gain"]     # or "every single fault" of the pair
from = ["2 s", "6 s"]
ramp = ["0 s", "1 s"]                                        # left out: at once
amount = ["-10 %", "10 %"]                                   # left out: all that a kind allows, by strength

Strength −1 … 1 goes from what changes nothing (0) to the ends of what a kind allows, quadratically, so that
small amounts are tried as often as large ones. A kind that takes no amount, and one of the wiring, has none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ... import _core
from ...errors import InputError, closest, listing
from ...files.toml_file import Place, TomlFile
from ...tolerances.distribution import Choice, Uniform
from ...tolerances.tolerance import Tolerance
from ...units import quantity
from ..audit.faults import single_faults

EVERY = "every single fault"

#: The amount that changes nothing, where it is not 0.
NEUTRAL = {"gain": 1.0, "scale": 1.0}


@dataclass(frozen=True)
class Kind:
    """What a fault may be; ``least`` = ``most``: its amount is ``amount``."""

    where: str
    what: str
    other: str = ""
    amount: float = 0.0
    least: float = 0.0
    most: float = 0.0
    unit: str = ""

    def at(self, strength: float) -> float:
        """The amount of a strength from −1 to 1."""
        if self.least >= self.most:
            return self.amount
        neutral = NEUTRAL.get(self.what, 0.0)
        up, down = self.most - neutral, self.least - neutral
        if strength >= 0:
            return neutral + (up if up > 0 else down) * strength**2
        return neutral + (down if down < 0 else up) * strength**2


@dataclass(frozen=True)
class FreeFault:
    """One searched fault, as a file writes it: ranges in SI units, ``None``: not given."""

    kinds: tuple[str, ...]
    start: tuple[float, float]
    ramp: tuple[float, float] | None = None
    amount: tuple[float, float] | None = None


def kinds_of(bench: _core.BenchParameters, brake: bool) -> dict[str, Kind]:
    """All kinds of a bench by their names: "pedal.track1 offset", and faults of the wiring in words."""
    catalogue = {(k.where, k.what): k for k in _core.fault_catalogue()}
    found: dict[str, Kind] = {}
    for one in single_faults(bench, brake=brake):
        known = catalogue.get((one.where, one.what))
        if known is None:
            found[one.label] = Kind(one.where, one.what, one.other, one.amount)
        else:
            found[f"{one.where} {one.what}"] = Kind(
                *(one.where, one.what, "", 0.0, known.least, known.most, known.unit)
            )
    return found


def tolerances_of(faults: Sequence[FreeFault], kinds: Mapping[str, Kind]) -> list[Tolerance]:
    """What is drawn for them: "fault1.kind", "fault1.strength" or "fault1.amount", "fault1.from", …"""
    found = []
    for number, fault in enumerate(faults, 1):
        names = fault.kinds
        if len(names) > 1:
            found.append(Tolerance(f"fault{number}.kind", Choice(names, (1.0 / len(names),) * len(names))))
        if fault.amount is not None:
            found.append(Tolerance(f"fault{number}.amount", Uniform(*fault.amount)))
        elif any(kinds[name].least < kinds[name].most for name in names):
            found.append(Tolerance(f"fault{number}.strength", Uniform(-1.0, 1.0)))
        found.append(Tolerance(f"fault{number}.from", Uniform(*fault.start)))
        if fault.ramp is not None:
            found.append(Tolerance(f"fault{number}.ramp", Uniform(*fault.ramp)))
    return found


def faults_at(
    faults: Sequence[FreeFault], kinds: Mapping[str, Kind], draw: Mapping[str, Any]
) -> list[_core.Fault]:
    """The faults of one case; what is not drawn has the middle of its range."""
    found = []
    for number, fault in enumerate(faults, 1):
        name = f"fault{number}."
        kind = kinds[draw.get(name + "kind", fault.kinds[0])]
        middle = 0.5 * sum(fault.amount) if fault.amount else kind.at(0.5)
        amount = draw.get(name + "amount", middle)
        if name + "strength" in draw:
            amount = kind.at(draw[name + "strength"])
        start = draw.get(name + "from", 0.5 * sum(fault.start))
        ramp = draw.get(name + "ramp", 0.0)
        found.append(
            _core.Fault(
                where=kind.where, what=kind.what, other=kind.other, amount=amount, start=start, ramp=ramp
            )
        )
    return found


def read(file: TomlFile, kinds: Mapping[str, Kind], duration: float) -> tuple[FreeFault, ...]:
    """The tables ``[[search.faults]]``; ``duration`` [s] of the run."""
    entries = file.table["search"].get("faults", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        file.fail(("search", "faults"), "must be tables ([[search.faults]])")
    return tuple(_one(file, ("search", "faults", i), e, kinds, duration) for i, e in enumerate(entries))


def _one(
    file: TomlFile, place: Place, entry: dict[str, Any], kinds: Mapping[str, Kind], duration: float
) -> FreeFault:
    file.only(place, entry, ["kinds", "from", "ramp", "amount"])
    names = _names(file, place, entry, kinds)
    if "from" not in entry:
        file.fail(place, 'the fault has no \'from\', the instants it may come at, such as ["2 s", "6 s"]')
    start = span(file, (*place, "from"), entry["from"], "s", 0.0, duration)
    ramp = span(file, (*place, "ramp"), entry["ramp"], "s", 0.0, duration) if "ramp" in entry else None
    amount = None
    if "amount" in entry:
        of = {kinds[name].unit for name in names}
        if len(of) > 1 or any(kinds[name].least >= kinds[name].most for name in names):
            file.fail((*place, "amount"), "goes with kinds that all take an amount in one unit; leave it out")
        least = max(kinds[name].least for name in names)
        most = min(kinds[name].most for name in names)
        amount = span(file, (*place, "amount"), entry["amount"], of.pop(), least, most)
    return FreeFault(names, start, ramp, amount)


def _names(file: TomlFile, place: Place, entry: dict[str, Any], kinds: Mapping[str, Kind]) -> tuple[str, ...]:
    given = entry.get("kinds")
    if given == EVERY:
        return tuple(kinds)
    if not isinstance(given, list) or not given or not all(isinstance(name, str) for name in given):
        file.fail((*place, "kinds"), f"must be a list of texts, not empty, or the text {EVERY!r}", given)
    for name in given:
        if name not in kinds:
            file.fail(
                (*place, "kinds"),
                f"the pair has no fault {name!r}{closest(name, kinds)} (there are: {listing(kinds)})",
            )
    return tuple(dict.fromkeys(given))


def span(
    file: TomlFile, place: Place, given: Any, unit: str, least: float, most: float
) -> tuple[float, float]:
    """A range [low, high] within what is allowed."""
    if not isinstance(given, list) or len(given) != 2:
        file.fail(place, "must be a list of two, [least, most]", given)
    try:
        low, high = (quantity(value, unit) for value in given)
    except InputError as error:
        file.fail(place, str(error))
    if not low < high:
        file.fail(place, "the least must be below the most; a range of nothing leaves nothing to search")
    if low < least or high > most:
        file.fail(place, f"must lie within {least:g} … {most:g} {unit}".rstrip())
    return low, high
