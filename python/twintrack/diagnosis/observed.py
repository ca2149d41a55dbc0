# SPDX-License-Identifier: BSD-3-Clause
"""What somebody observed, checked: from a table of a file or a program.

[observed]
ground = "battery minus"            # where the meter's black lead was
codes = ["P2138", "P2115"]          # in their order; [] for none
key_on = "still"                    # "still", "moves", "opens"
follows = "none"                    # "right", "wrong", "none", "uncommanded"
learn = "span too small"            # or "accepted"
idle = 1600                         # 1/min
[[observed.volts]]
at = "pin pedal signal 1"           # against = another point, where it was not the ground
when = "half"                       # "rest", "half", "full", "closed", "open"
reads = "2.15 V"
[[observed.ohms]]
between = ["pedal signal 1", "pin pedal signal 1"]
reads = "open"                      # or "0.2 ohm"
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, NoReturn

from ..errors import InputError, closest, listing
from ..units import quantity
from .dictionary import Dictionary
from .readings import GROUNDS, OPEN, STAND_WORDS, Reading

_KEYS = ("ground", "codes", "key_on", "follows", "learn", "idle", "volts", "ohms")
_WORDS = {"key_on": ("still", "moves", "opens"), "follows": ("right", "wrong", "none", "uncommanded")}

#: The form of a trouble code of SAE J2012, with or without its failure-type byte.
_CODE = re.compile(r"([PCBU][0-3][0-9A-F]{3})(-[0-9A-F]{2})?")

#: A number without its unit, as one types it in answer to a question that names the unit.
_PLAIN = re.compile(r"[+-]?\d*\.?\d+(?:[eE][+-]?\d+)?")

Observed = dict[Reading, float | str]


def observed_from(table: Mapping[str, Any], known: Dictionary) -> Observed:
    """Raises :class:`InputError` with the key, what was given and what is allowed."""
    for key in table:
        if key not in _KEYS:
            _fail(key, f"unknown key{closest(key, _KEYS)} (known here: {listing(_KEYS)})")
    found: Observed = {}
    if "codes" in table:
        found[Reading("codes")] = " ".join(_codes(table["codes"], known))
    for key, words in _WORDS.items():
        if key in table:
            found[Reading(key)] = _word(key, table[key], words)
    if "learn" in table:
        refusals = sorted({str(v) for v in known.column("refusal").ravel() if v})
        found[Reading("refusal")] = _word("learn", table["learn"], refusals)
    if "idle" in table:
        found[Reading("idle_rpm")] = _idle(table["idle"], known)
    for reading, value in [*_volts(table, known), *_ohms(table, known)]:
        if reading in found:
            raise InputError(f"observed: {reading.text} is given twice")
        found[reading] = value
    if not found:
        raise InputError(f"observed: no observation; give at least one of {listing(_KEYS[1:])}")
    return found


def reply(reading: Reading, given: Any, known: Dictionary) -> float | str:
    """What somebody answers to one question, checked."""
    if isinstance(given, str):
        given = given.strip()
    if reading.kind == "codes":
        words = (
            []
            if given in ("none", "")
            else given.replace(",", " ").split()
            if isinstance(given, str)
            else given
        )
        return " ".join(_codes(words, known))
    if reading.kind in _WORDS:
        return _word(reading.kind, given, _WORDS[reading.kind])
    if reading.kind == "refusal":
        return _word("learn", given, sorted({str(v) for v in known.column("refusal").ravel() if v}))
    if reading.kind == "ohms" and given == "open":
        return OPEN
    if isinstance(given, str) and _PLAIN.fullmatch(given):
        given = float(given)
    if reading.kind == "idle_rpm":
        return _idle(given, known)
    unit, most = ("V", 1000.0) if reading.kind == "volts" else ("ohm", 1e12)
    value = _value(reading.text, given, unit, most)
    if reading.kind == "ohms" and value < 0.0:
        _fail(reading.text, "a resistance is not negative")
    return value


def _fail(key: str, message: str) -> NoReturn:
    raise InputError(f"observed.{key}: {message}")


def _codes(given: Any, known: Dictionary) -> Iterator[str]:
    if not isinstance(given, (list, tuple)):
        _fail("codes", "must be a list in the order of the codes; [] for none")
    there = sorted({code for outcome in known.column("codes").ravel() for code in str(outcome).split()})
    taken: list[str] = []
    for code in given:
        match = _CODE.fullmatch(str(code).strip().upper())
        if not match:
            _fail("codes", f"{code!r} is no code of SAE J2012 (such as P2138 or P2138-62)")
        name = match[1]
        if name[1] in "1" or (name[1] == "3" and name < "P3400"):
            _fail("codes", f"{name} lies in a maker's own range, which the standard does not define")
        if name not in there:
            _fail("codes", f"no cause of this dictionary sets {name}{closest(name, there)}; leave out "
                           f"codes of other "
                           f"systems (there are: {listing(there)})")  # fmt: skip
        if name in taken:
            _fail("codes", f"{name} is given twice")
        taken.append(name)
        yield name


def _word(key: str, given: Any, words: Any) -> str:
    if given not in words:
        _fail(key, f"{given!r} is none of {listing(words)}{closest(str(given), words)}")
    return str(given)


def _idle(given: Any, known: Dictionary) -> float:
    if known.design.bench.engine is None:
        _fail("idle", "this bench has no engine; name one (engine = …)")
    if isinstance(given, bool) or not isinstance(given, (int, float)) or not 0 <= given < 20000:
        _fail("idle", "must be a speed in 1/min, 0 … 20000")
    return float(given)


def _entries(
    table: Mapping[str, Any], key: str, needed: tuple[str, ...], more: tuple[str, ...]
) -> Iterator[Any]:
    given = table.get(key, [])
    if not isinstance(given, (list, tuple)):
        _fail(key, f"must be a list of tables with {listing(needed)}")
    for number, entry in enumerate(given, 1):
        place = f"{key}[{number}]"
        if not isinstance(entry, Mapping):
            _fail(place, f"must be a table with {listing(needed)}")
        for name in entry:
            if name not in (*needed, *more):
                _fail(f"{place}.{name}", f"unknown key (known here: {listing((*needed, *more))})")
        for name in needed:
            if name not in entry:
                _fail(place, f"needs {name!r}")
        yield place, entry


def _volts(table: Mapping[str, Any], known: Dictionary) -> Iterator[tuple[Reading, float]]:
    points = sorted({r.a for r in known.readings if r.kind == "volts"})
    ground = table.get("ground")
    if ground is not None and ground not in (*GROUNDS, *points):
        _fail("ground", f"{ground!r} is none of {listing((*GROUNDS, *points))}")
    for place, entry in _entries(table, "volts", ("at", "reads"), ("against", "when")):
        against = entry.get("against", ground)
        if against is None:
            _fail(place, "a voltage needs its ground: give 'against', or [observed] ground = 'battery minus'")
        at, when = entry["at"], entry.get("when", "rest")
        for key, name, names in (
            ("at", at, points), ("against", against, [*GROUNDS, *points]), ("when", when, list(STAND_WORDS)),
        ):  # fmt: skip
            if name not in names:
                hint = closest(str(name), names)
                _fail(f"{place}.{key}", f"{name!r} is not of this pair{hint} (there are: {listing(names)})")
        value = _value(f"{place}.reads", entry["reads"], "V", 1000.0)
        yield Reading("volts", at, GROUNDS[0] if against in GROUNDS else against, when), value


def _ohms(table: Mapping[str, Any], known: Dictionary) -> Iterator[tuple[Reading, float]]:
    pairs = {frozenset((r.a, r.b)): r for r in known.readings if r.kind == "ohms"}
    points = sorted({point for pair in pairs for point in pair})
    for place, entry in _entries(table, "ohms", ("between", "reads"), ()):
        between = entry["between"]
        if not isinstance(between, (list, tuple)) or len(between) != 2:
            _fail(f"{place}.between", "must be a list of two points")
        for name in between:
            if name not in points:
                _fail(f"{place}.between", f"{name!r} is not of this pair{closest(str(name), points)} "
                                          f"(there are: {listing(points)})")  # fmt: skip
        if frozenset(between) not in pairs:
            ends = sorted(
                str(other) for pair in pairs if between[0] in pair for other in pair if other != between[0]
            )
            _fail(f"{place}.between", f"not read between these; from {between[0]!r} to: {listing(ends)}")
        given = entry["reads"]
        value = OPEN if given == "open" else _value(f"{place}.reads", given, "ohm", 1e12)
        if value < 0.0:
            _fail(f"{place}.reads", "a resistance is not negative")
        yield pairs[frozenset(between)], value


def _value(place: str, given: Any, unit: str, most: float) -> float:
    try:
        value = quantity(given, unit) if isinstance(given, str) else quantity(f"{given} {unit}", unit)
    except InputError as error:
        raise InputError(f"observed.{place}: {error}") from error
    if abs(value) > most:
        _fail(place, f"{value:g} {unit} is beyond {most:g} {unit}")
    return float(value)
