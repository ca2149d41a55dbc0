# SPDX-License-Identifier: BSD-3-Clause
"""What happens in a study's run: the movement of the foot, and what is wrong from when to when."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..errors import InputError, closest, listing
from ..files.toml_file import Place, TomlFile
from ..parts import engines as engine_parts
from ..units import quantity

#: What a study writes in place of a list of faults for one case of each that a pair's wiring can have.
EVERY = "every single wiring fault"

#: Faults that one run may have.
MOST_FAULTS = 200

#: Strokes that have a name.
STROKES = {
    "rest-half-full-rest": _core.Stroke.rest_half_full_rest,
    "two-presses": _core.Stroke.two_presses,
    "idle": engine_parts.idle_stroke,
}


def is_idle(file: TomlFile) -> bool:
    """Whether the study asks for the scenario ``idle``: start, settle, load, tip-in and return, key off."""
    given = file.table.get("scenario")
    if given not in (None, "idle"):
        file.fail(("scenario",), "there is one scenario with a name of its own: 'idle'", given)
    return given == "idle"


def stroke(file: TomlFile) -> _core.Stroke:
    """The study's stroke: a name, or a table of times and shares of pedal travel."""
    given = file.table.get("stroke", "idle" if is_idle(file) else "rest-half-full-rest")
    if isinstance(given, str):
        if given not in STROKES:
            hint = closest(given, STROKES)
            file.fail(("stroke",), f"there is no such stroke{hint} (there are: {listing(STROKES)})", given)
        return STROKES[given]()
    if not isinstance(given, dict):
        file.fail(("stroke",), "must be a name or a table with 'time' and 'travel'", given)
    file.only(("stroke",), given, ["time", "travel"])
    time = [_quantity(file, ("stroke", "time", i), v, "s") for i, v in enumerate(_list(file, given, "time"))]
    travel = [
        _quantity(file, ("stroke", "travel", i), v, "") for i, v in enumerate(_list(file, given, "travel"))
    ]
    try:
        return _core.Stroke(time=time, travel=travel)
    except _core.InvalidParameter as error:
        file.refuse(("stroke",), error, skip=1)


def hazard(file: TomlFile) -> tuple[float | None, float | None]:
    """The table ``[hazard]``: uncommanded ``opening`` and ``time`` beyond which it is one, where given."""
    table = file.table.get("hazard", {})
    if not isinstance(table, dict):
        file.fail(("hazard",), "must be a table ([hazard])", table)
    file.only(("hazard",), table, ["opening", "time"])
    found: dict[str, float] = {}
    for key, unit, most in (("opening", "", 1.0), ("time", "s", 60.0)):
        if key in table:
            found[key] = _quantity(file, ("hazard", key), table[key], unit)
            if not 0.0 < found[key] <= most:
                limit = "60 s" if unit else "100 %"
                file.fail(("hazard", key), f"must be above 0 and at most {limit}", table[key])
    return found.get("opening"), found.get("time")


def _list(file: TomlFile, table: dict[str, Any], key: str) -> list[Any]:
    values = table.get(key)
    if not isinstance(values, list) or not values:
        file.fail(("stroke", key), "must be a list, not empty")
    return values


def faults(file: TomlFile) -> tuple[_core.Fault, ...]:
    """The study's faults, in the order of the file; they are present in the run and absent from the learn."""
    entries = file.table.get("faults", [])
    if entries == EVERY:
        return ()
    if not isinstance(entries, list):
        file.fail(("faults",), f"must be a list of tables ([[faults]]) or the text {EVERY!r}", entries)
    if len(entries) > MOST_FAULTS:
        file.fail(("faults",), f"has {len(entries)} entries; allowed: at most {MOST_FAULTS}")
    found = [_fault(file, entry, ("faults", i)) for i, entry in enumerate(entries)]
    try:
        _core.check_faults(found)  # refuses faults that overlap
    except _core.InvalidParameter as error:
        file.refuse((), error)
    return tuple(found)


def every_fault_from(file: TomlFile) -> float | None:
    """When each single wiring fault comes [s], each in a case of its own; ``None`` unless the study asks."""
    wanted = file.table.get("faults") == EVERY
    if "faults_from" not in file.table:
        return 3.5 if wanted else None
    if not wanted:
        file.fail(
            ("faults_from",), f"goes with faults = {EVERY!r} only; a fault of a list has its own 'from'"
        )
    start = _quantity(file, ("faults_from",), file.table["faults_from"], "s")
    if start < 0:
        file.fail(("faults_from",), "a fault cannot come before the key is on", file.table["faults_from"])
    return start


def _fault(file: TomlFile, entry: Any, place: Place) -> _core.Fault:
    if not isinstance(entry, dict):
        file.fail(place, "must be a table ([[faults]])", entry)
    file.only(place, entry, ["where", "what", "with", "amount", "from", "to", "ramp", "every", "lasting"])
    kind = _kind(file, entry, place)
    values: dict[str, Any] = {}
    if "with" in entry:
        values["other"] = _text(file, entry, "with", place)
    if "amount" in entry:
        values["amount"] = _quantity(file, (*place, "amount"), entry["amount"], kind.unit)
    elif kind.least < kind.most:
        file.fail(place, f"the fault has no 'amount' ({kind.meaning})")
    for key, name in (
        ("from", "start"),
        ("to", "end"),
        *((name, name) for name in ("ramp", "every", "lasting")),
    ):
        if key in entry:
            values[name] = _quantity(file, (*place, key), entry[key], "s")
    try:
        return _core.Fault(where=entry["where"], what=kind.what, **values)
    except _core.InvalidParameter as error:
        file.refuse(place, error, entry, skip=2)  # the core counts this fault as the first of a list


def _kind(file: TomlFile, entry: dict[str, Any], place: Place) -> _core.FaultKind:
    """The catalogue's entry for ``where`` and ``what``."""
    where, what = (_text(file, entry, key, place) for key in ("where", "what"))
    in_wiring = {kind.what: kind for kind in _core.wiring_fault_kinds()}
    if what in in_wiring:
        return in_wiring[what]  # its place is checked against the terminals of each pair
    kinds = {(kind.where, kind.what): kind for kind in _core.fault_catalogue()}
    places = sorted({place for place, _ in kinds})
    if where not in places:
        file.fail(
            (*place, "where"),
            f"no such place{closest(where, places)} (there are: {listing(places)}; "
            f"a fault of the wiring, at a terminal, is one of: {listing(in_wiring)})",
            where,
        )
    there = [name for spot, name in kinds if spot == where]
    if what not in there:
        file.fail(
            (*place, "what"), f"no such fault there{closest(what, there)} (there are: {listing(there)})", what
        )
    return kinds[where, what]


def _text(file: TomlFile, entry: dict[str, Any], key: str, place: Place) -> str:
    if key not in entry:
        file.fail(place, f"the fault has no {key!r}")
    if not isinstance(entry[key], str):
        file.fail((*place, key), "must be text", entry[key])
    return str(entry[key])


def _quantity(file: TomlFile, place: Place, value: Any, unit: str) -> float:
    try:
        return quantity(value, unit)
    except InputError as error:
        file.fail(place, str(error), value)
