# SPDX-License-Identifier: BSD-3-Clause
"""A TOML file with the line of each key, so that an error can be answered with the place it stands at."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn

from ..errors import InputError, closest, listing, shortened
from .text_file import read_text

#: Where a value stands: keys, and indices (from 0) for entries of arrays.
Place = tuple[str | int, ...]

#: Levels of tables and lists that a file may have.
DEEPEST = 20

#: Entries that a list may have.
MOST_ENTRIES = 10_000

_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_DEEP_KEY = re.compile(rf"(?:[^\s.=#,{{}}\[\]]{{1,80}}[ \t]*\.[ \t]*){{{DEEPEST}}}")
_DOTTED = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_HEADER = re.compile(rf"^\s*(\[\[?)\s*({_DOTTED})\s*\]\]?\s*(?:#.*)?$")
_PAIR = re.compile(rf"^\s*({_DOTTED})\s*=(.*)$")
_QUOTED = re.compile(r'"(?:\\.|[^"\\])*"|\'[^\']*\'|#.*$')


@dataclass
class TomlFile:
    """The table a file holds, and the line of each of its keys."""

    path: Path
    table: dict[str, Any]
    lines: dict[Place, int] = field(default_factory=dict)

    def line(self, place: Place) -> int | None:
        """Line of the key, or of the nearest table around it."""
        for end in range(len(place), 0, -1):
            if place[:end] in self.lines:
                return self.lines[place[:end]]
        return None

    def fail(self, place: Place, message: str, value: object = None) -> NoReturn:
        """Raises :class:`InputError` with file, line, key and value before the message."""
        line = self.line(place)
        where = f"{self.path}" + (f", line {line}" if line else "")
        shown = "" if value is None or isinstance(value, (dict, list)) else f" = {_toml(value)}"
        key = dotted(place)
        raise InputError(f"{where}: {key}{shown}: {message}" if key else f"{where}: {message}")

    def refuse(self, place: Place, error: ValueError, table: object = None, skip: int = 0) -> NoReturn:
        """Raises :class:`InputError` for what the core refused inside ``table``, which stands at ``place``.

        The core's error carries a dotted path; its first ``skip`` steps do not exist in the file.
        """
        where = str(getattr(error, "where", ""))
        inside = place_of(where)[skip:]
        for part in inside:
            try:
                table = table[part]  # type: ignore[index]
            except (KeyError, IndexError, TypeError):
                table = None
        self.fail((*place, *inside), str(error).removeprefix(f"{where}: "), table)

    def only(self, place: Place, table: dict[str, Any], known: list[str]) -> None:
        """Refuses the first key of ``table`` that is not among ``known``."""
        for key, value in table.items():
            if key not in known:
                hint = closest(key, known)
                self.fail((*place, key), f"unknown key{hint} (known here: {listing(known)})", value)


def dotted(place: Place) -> str:
    """``("tracks", 1, "bow")`` → ``"tracks[2].bow"``, counting entries from one as people do."""
    text = ""
    for part in place:
        part = shortened(part, 60) if isinstance(part, str) else part
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def place_of(where: str) -> Place:
    """The inverse of :func:`dotted`, for the paths that the core's errors carry."""
    place: list[str | int] = []
    for name, index in re.findall(r"([^.\[\]]+)|\[(\d+)\]", where):
        place.append(name if name else int(index) - 1)
    return tuple(place)


def read(path: str | Path) -> TomlFile:
    """Reads and parses; raises :class:`InputError` when the file cannot be read or is not TOML."""
    import tomllib

    path = Path(path)
    text = read_text(path)
    if _DEEP_KEY.search(text):  # what the parser makes of its prefixes grows with the square of its length
        raise InputError(f"{path}: nested too deeply; allowed: {DEEPEST} levels")
    try:
        table = tomllib.loads(text)
    except RecursionError:
        raise InputError(f"{path}: nested too deeply; allowed: {DEEPEST} levels") from None
    except ValueError as error:  # no TOML, or an integer of thousands of digits
        raise InputError(f"{path}: not valid TOML: {str(error).split(';')[0]}") from error
    file = TomlFile(path, table, {})
    _check_size(file)
    file.lines = _locate(text)
    return file


def _check_size(file: TomlFile) -> None:
    """Refuses what later steps, which descend by calling themselves, could not walk through."""
    waiting: list[tuple[Place, Any]] = [((), file.table)]
    while waiting:
        place, value = waiting.pop()
        if len(place) > DEEPEST:
            file.fail(place[:3], f"nested too deeply; allowed: {DEEPEST} levels")
        if isinstance(value, list) and len(value) > MOST_ENTRIES:
            file.fail(place, f"has {len(value)} entries; allowed: at most {MOST_ENTRIES}")
        inside = value.items() if isinstance(value, dict) else enumerate(value)
        waiting += [((*place, key), inner) for key, inner in inside if isinstance(inner, (dict, list))]


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**18:
        return f"an integer of {value.bit_length()} bits"
    return shortened(f'"{value}"' if isinstance(value, str) else str(value), 80)


def _keys(text: str) -> list[str]:
    return [key.strip("\"'") for key in re.findall(_KEY, text)]


def _locate(text: str) -> dict[Place, int]:
    """Line of each table header and key. Values over several lines are skipped by counting brackets."""
    lines: dict[Place, int] = {}
    counts: dict[Place, int] = {}
    table: Place = ()
    depth, quote = 0, ""
    for number, line in enumerate(text.splitlines(), start=1):
        if quote:
            quote = "" if quote in line else quote
            continue
        if depth <= 0 and (header := _HEADER.match(line)):
            table = _enter(_keys(header[2]), header[1] == "[[", counts)
            lines.setdefault(table, number)
            continue
        value = line
        if depth <= 0 and (pair := _PAIR.match(line)):
            lines.setdefault((*table, *_keys(pair[1])), number)
            value, depth = pair[2], 0
        quote = next((q for q in ('"""', "'''") if value.count(q) % 2), "")
        bare = _QUOTED.sub("", value)
        depth += bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")
    return lines


def _enter(keys: list[str], is_list: bool, counts: dict[Place, int]) -> Place:
    """Place of a table header; each ``[[x]]`` opens the next entry of x, and ``[x.y]`` lies in its latest."""
    place: Place = ()
    for position, key in enumerate(keys):
        place = (*place, key)
        last = position == len(keys) - 1
        if last and is_list:
            counts[place] = counts.get(place, -1) + 1
        if place in counts:
            place = (*place, counts[place])
    return place
