# SPDX-License-Identifier: BSD-3-Clause
"""Pedals and throttle bodies from TOML files: the built-in ones and the user's own."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

from .. import _core
from ..errors import InputError, closest, listing
from ..files import toml_file
from ..files.toml_file import Place, TomlFile
from ..units import quantity

#: Where the built-in parts lie, one file each.
FOLDER = Path(__file__).parent

#: Longest name of a part, in characters.
LONGEST_NAME = 60

KINDS: dict[str, Any] = {"pedal": _core.PedalParameters, "body": _core.ThrottleBodyParameters}


def pedal(name: str) -> _core.PedalParameters:
    """The built-in pedal of that name. Raises :class:`InputError` listing those there are."""
    part: _core.PedalParameters = _built_in("pedal", name)
    return part


def body(name: str) -> _core.ThrottleBodyParameters:
    """The built-in throttle body of that name. Raises :class:`InputError` listing those there are."""
    part: _core.ThrottleBodyParameters = _built_in("body", name)
    return part


def pedals() -> dict[str, _core.PedalParameters]:
    """All built-in pedals by name, in alphabetical order."""
    return dict(_catalogue()["pedal"])


def bodies() -> dict[str, _core.ThrottleBodyParameters]:
    """All built-in throttle bodies by name, in alphabetical order."""
    return dict(_catalogue()["body"])


def load(path: str | Path) -> tuple[str, Any]:
    """``("pedal", PedalParameters)`` or ``("body", ThrottleBodyParameters)`` from a part file.

    Raises :class:`InputError` with file, line, key, value and what is allowed.
    """
    file = toml_file.read(path)
    table = dict(file.table)
    kind = table.pop("kind", None)
    if not isinstance(kind, str) or kind not in KINDS:
        file.fail(("kind",), f"must be {listing(map(repr, KINDS))}", kind)
    if "name" not in table:
        file.fail((), "the part has no name")
    _check_name(file, table["name"])
    if not table.get("tracks"):
        file.fail((), f"the {kind} has no tracks; give two or three ([[tracks]])")
    if isinstance(table["tracks"], list):
        table["tracks"] = [_ratios(file, track, ("tracks", i)) for i, track in enumerate(table["tracks"])]
    return kind, build(file, KINDS[kind], table)


def _ratios(file: TomlFile, track: Any, place: Place) -> Any:
    """A track whose outputs are given in ``volts`` at the supply ``volts_supply``, as ``ratio``."""
    if not isinstance(track, dict) or not {"volts", "volts_supply"} & track.keys():
        return track
    track = dict(track)
    volts, supply = track.pop("volts", None), track.pop("volts_supply", None)
    if "ratio" in track:
        file.fail((*place, "volts"), "a track has either 'ratio' or 'volts' with 'volts_supply'")
    if not isinstance(volts, list) or not volts:
        file.fail(
            (*place, "volts"),
            "must be a list of voltages, rest or closed first, such as ['0.7 V', '3.6 V']",
            volts,
        )
    if supply is None:
        file.fail(
            (*place, "volts"), "'volts_supply' is missing: the sensors' supply at which they were measured"
        )
    given = _volts(file, supply, (*place, "volts_supply"))
    if given <= 0.0:
        file.fail((*place, "volts_supply"), "must be above 0 V", supply)
    track["ratio"] = [_volts(file, v, (*place, "volts", i)) / given for i, v in enumerate(volts)]
    for i, ratio in enumerate(track["ratio"]):
        if not 0.0 <= ratio <= 1.0:
            file.fail((*place, "volts", i), f"must lie between 0 V and the supply of {given:g} V", volts[i])
    return track


def _volts(file: TomlFile, value: Any, place: Place) -> float:
    try:
        return quantity(value, "V")
    except InputError as error:
        file.fail(place, str(error), value)


def _check_name(file: TomlFile, name: Any) -> None:
    """A name becomes part of the name of a file, a row and a column."""
    if not isinstance(name, str):
        file.fail(("name",), "must be text", name)
    if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
        file.fail(("name",), f"must be 1 to {LONGEST_NAME} printable characters", name)
    if "/" in name or "\\" in name or name.startswith("."):
        file.fail(
            ("name",), "must have no '/' and no '\\', nor begin with '.': files are named after it", name
        )


def build(file: TomlFile, cls: Any, table: Any, place: Place = (), base: Any = None) -> Any:
    """A described struct of the core from a table; absent keys keep their defaults, or ``base``'s."""
    if not isinstance(table, dict):
        file.fail(place, "must be a table", table)
    fields = {field.name: field for field in cls.fields()}
    file.only(place, table, list(fields))
    values = {
        key: _value(file, fields[key], value, (*place, key), getattr(base, key, None))
        for key, value in table.items()
    }
    try:
        return cls(**values) if base is None else base.replace(values)
    except _core.InvalidParameter as error:
        file.refuse(place, error, table)


def _value(file: TomlFile, field: Any, value: Any, place: Place, base: Any = None) -> Any:
    if field.kind in ("struct", "optional struct"):
        return build(file, getattr(_core, field.struct), value, place, base)
    if field.kind == "list":
        if not isinstance(value, list):
            file.fail(place, f"must be a list of tables ([[{place[-1]}]])", value)
        return [build(file, getattr(_core, field.struct), v, (*place, i)) for i, v in enumerate(value)]
    if field.kind == "numbers":
        if not isinstance(value, list) or not value:
            file.fail(place, "must be a list of numbers, not empty", value)
        return [_number(file, field, v, (*place, i)) for i, v in enumerate(value)]
    if field.kind in ("text", "choice"):
        if not isinstance(value, str):
            file.fail(place, "must be text", value)
        if field.kind == "choice" and value not in field.choices:
            file.fail(place, f"must be one of {listing(field.choices)}{closest(value, field.choices)}", value)
        return value
    wanted = {"flag": bool, "integer": int}.get(field.kind)
    if wanted is None:
        return _number(file, field, value, place)
    if type(value) is not wanted:
        file.fail(place, "must be true or false" if wanted is bool else "must be a whole number", value)
    return value


def _number(file: TomlFile, field: Any, value: Any, place: Place) -> float:
    try:
        return quantity(value, field.unit)
    except InputError as error:
        file.fail(place, f"{error} ({field.meaning})", value)


@functools.cache
def _catalogue() -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
    for path in sorted(FOLDER.glob("*.toml")):
        kind, part = load(path)
        if part.name in found[kind]:
            raise InputError(f"{path}: there is a {kind} {part.name!r} already")
        found[kind][part.name] = part
    return {kind: dict(sorted(parts.items())) for kind, parts in found.items()}


def _built_in(kind: str, name: str) -> Any:
    parts = _catalogue()[kind]
    if not isinstance(name, str):
        raise InputError(f"the name of a {kind} must be text; got {type(name).__name__}")
    if name not in parts:
        raise InputError(f"there is no {kind} {name!r}{closest(name, parts)} (there are: {listing(parts)})")
    return parts[name]
