# SPDX-License-Identifier: BSD-3-Clause
"""What the command line prints: tables, parts, faults."""

from __future__ import annotations

from typing import Any

from ..errors import InputError, closest, listing
from ..pages.text_table import text_table


def span(least: float, most: float, unit: str) -> str:
    return f"{least:g} … {most:g} {unit}".rstrip() if least < most else "none"


def describe(kind: str, part: Any) -> str:
    lines = [f"{kind} {part.name}", ""]
    lines += [f"  {connector} connector: {terminal}" for connector, terminal in part.terminals()] + [""]
    return "\n".join(lines + ["  " + line for line in _fields(part)])


def _fields(value: Any, prefix: str = "") -> list[str]:
    """One line a field: name, value with unit, meaning."""
    from ..units import show

    lines = []
    for field in value.fields():
        name, entry = prefix + field.name, getattr(value, field.name)
        if field.kind == "struct":
            lines += _fields(entry, f"{name}.")
        elif field.kind == "list":
            for i, item in enumerate(entry):
                lines += _fields(item, f"{name}[{i + 1}].")
        else:
            if isinstance(entry, float):
                entry = show(entry, field.unit)
            elif field.kind == "numbers":
                entry = ", ".join(f"{x:g}" for x in entry)
            lines.append(f"{name:<38} {entry!s:<22} {field.meaning}")
    return lines


def find_part(name: str) -> tuple[str, Any]:
    """Kind and parameters of a built-in part or a part file."""
    from ..parts.catalogue import bodies, load, pedals

    if name.endswith(".toml"):
        return load(name)
    found: dict[str, dict[str, Any]] = {"pedal": pedals(), "body": bodies()}
    for kind, named in found.items():
        if name in named:
            return kind, named[name]
    known = [*found["pedal"], *found["body"]]
    raise InputError(f"there is no part {name!r}{closest(name, known)} (there are: {listing(known)})")


def wiring_faults(names: tuple[str, ...]) -> str:
    """A part is listed as if the other one were any: the faults at its own terminals."""
    from .._core import PedalParameters, ThrottleBodyParameters, every_single_wiring_fault

    if len(names) > 2:
        raise InputError(f"one part, or a pedal and a throttle body; got {listing(names)}")
    pair: dict[str, Any] = {}
    for name in names:
        kind, part = find_part(name)
        if kind in pair:
            raise InputError(f"{name!r} is a second {kind}; a pair is a pedal and a throttle body")
        pair[kind] = part
    found = every_single_wiring_fault(
        pair.get("pedal") or PedalParameters(), pair.get("body") or ThrottleBodyParameters()
    )
    if len(pair) == 1:
        mine = ("pedal ",) if "pedal" in pair else ("throttle ", "motor ")
        found = [fault for fault in found if fault.where.startswith(mine)]
    units = {"ground_offset": "V", "regulator_offset": "V"}
    rows = [
        [f.where, f.what, f.other, f"{f.amount:g} {units.get(f.what, 'ohm')}" if f.amount else "", f.text]
        for f in found
    ]
    return text_table(["where", "what", "with", "amount", "in words"], rows) + f"\n\n{len(rows)} faults"
