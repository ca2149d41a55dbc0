# SPDX-License-Identifier: BSD-3-Clause
"""Failure rates of elements, from a file; none is built in.

setup = "default"                            # which monitor of the audit
fault_tolerant_time = "500 ms"               # left out: the time of the audit's hazard

[[elements]]
name = "pedal track 1"
places = ["pedal.track1"]                    # where its faults are (twintrack list faults)
rate = "50 FIT"                              # failures in 1e9 h; or "5e-8 1/h"
source = "invented for this example"
safe = "20 %"                                # failures that can do nothing, even together; left out: none
modes = { offset = "60 %", frozen = "40 %" } # share of each kind; left out: all alike
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..errors import InputError, listing
from ..files import toml_file
from ..files.toml_file import Place, TomlFile
from ..units import quantity

#: [1/h]
FIT = 1e-9

_KEYS = ["name", "places", "rate", "source", "safe", "modes"]


@dataclass(frozen=True)
class Element:
    """One element of hardware: where its faults are, how often it fails [1/h], and what says so."""

    name: str
    places: tuple[str, ...]
    rate: float
    source: str
    safe: float = 0.0
    modes: tuple[
        tuple[str, float], ...
    ] = ()  #: kind of fault and its share; empty: all that there are, alike


@dataclass(frozen=True)
class Rates:
    """What a file of rates says; ``setup`` and ``time`` [s] may be left to the audit."""

    elements: tuple[Element, ...]
    setup: str = ""
    time: float | None = None


def read(path: str | Path) -> Rates:
    """Raises :class:`InputError` at the first error; a file without rates is one."""
    file = toml_file.read(path)
    file.only((), file.table, ["setup", "fault_tolerant_time", "elements"])
    setup = file.table.get("setup", "")
    if not isinstance(setup, str):
        file.fail(("setup",), "must be the name of a set-up of the audit", setup)
    time = None
    if "fault_tolerant_time" in file.table:
        time = _quantity(file, ("fault_tolerant_time",), file.table["fault_tolerant_time"], "s")
        if time <= 0:
            file.fail(("fault_tolerant_time",), "must be above 0 s", file.table["fault_tolerant_time"])
    entries = file.table.get("elements", [])
    if not isinstance(entries, list) or not entries or not all(isinstance(e, dict) for e in entries):
        file.fail(
            ("elements",), "there are no rates: give [[elements]] with 'rate' and 'source'; none is built in"
        )
    elements = tuple(_element(file, ("elements", i), entry) for i, entry in enumerate(entries))
    _check_once(file, elements)
    return Rates(elements, setup, time)


def rate_of(text: object) -> float:
    """A failure rate [1/h] from text such as "50 FIT" or "5e-8 1/h"."""
    if not isinstance(text, str):
        raise InputError("a failure rate needs its unit, such as '50 FIT' or '5e-8 1/h'")
    number, _, unit = text.strip().partition(" ")
    value = quantity(number) * FIT if unit.strip() == "FIT" else quantity(text, "1/h")
    if value < 0:
        raise InputError("a failure rate cannot be negative")
    return value


def _element(file: TomlFile, place: Place, entry: dict[str, Any]) -> Element:
    file.only(place, entry, _KEYS)
    for key in ("name", "places", "rate", "source"):
        if key not in entry:
            file.fail(place, f"the element has no '{key}'")
    for key in ("name", "source"):
        if not isinstance(entry[key], str) or not entry[key]:
            file.fail((*place, key), "must be text, not empty", entry[key])
    places = entry["places"]
    if not isinstance(places, list) or not places or not all(isinstance(p, str) for p in places):
        file.fail((*place, "places"), "must be a list of texts, not empty", places)
    try:
        rate = rate_of(entry["rate"])
    except InputError as error:
        file.fail((*place, "rate"), str(error), entry["rate"])
    safe = _quantity(file, (*place, "safe"), entry.get("safe", 0.0), "")
    if not 0.0 <= safe < 1.0:
        file.fail((*place, "safe"), "must be from 0 to below 100 %", entry["safe"])
    return Element(entry["name"], tuple(places), rate, entry["source"], safe, _modes(file, place, entry))


def _modes(file: TomlFile, place: Place, entry: dict[str, Any]) -> tuple[tuple[str, float], ...]:
    modes = entry.get("modes", {})
    if not isinstance(modes, dict):
        file.fail((*place, "modes"), "must be a table of kinds and shares", modes)
    found = tuple((k, _quantity(file, (*place, "modes", k), v, "")) for k, v in modes.items())
    if found and (min(s for _, s in found) < 0 or abs(sum(s for _, s in found) - 1.0) > 1e-9):
        file.fail(
            (*place, "modes"),
            f"the shares must be 0 or more and sum to 100 %; got {sum(s for _, s in found):g}",
        )
    return found


def _check_once(file: TomlFile, elements: tuple[Element, ...]) -> None:
    for i, one in enumerate(elements):
        for other in elements[:i]:
            if one.name == other.name:
                file.fail(("elements", i, "name"), "another element has this name", one.name)
            if both := set(one.places) & set(other.places):
                file.fail(
                    ("elements", i, "places"), f"{listing(sorted(both))} belongs to {other.name!r} already"
                )


def _quantity(file: TomlFile, place: Place, value: Any, unit: str) -> float:
    try:
        return quantity(value, unit)
    except InputError as error:
        file.fail(place, str(error), value)
