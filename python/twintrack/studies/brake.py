# SPDX-License-Identifier: BSD-3-Clause
"""The brake of a study: when the driver brakes, and how hard."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..errors import InputError
from ..files.toml_file import Place, TomlFile
from ..units import quantity

#: Time to press the brake and to let go of it [s], where the study does not say: this bench's own.
RAMP = 0.1


def from_file(file: TomlFile) -> _core.Stroke | None:
    """How hard the driver brakes over time, from the list ``[[brake]]``; ``None``: there is no brake.

    Each entry has ``from`` and ``to``, between which the foot is on the brake, ``pressed`` (how hard, up
    to 1, the default) and ``ramp``, in which it gets there after ``from`` and lets go after ``to``. An empty
    list is a brake that is not pressed.
    """
    if "brake" not in file.table:
        return None
    entries = file.table["brake"]
    if not isinstance(entries, list):
        file.fail(("brake",), "must be a list of tables ([[brake]])", entries)
    time, pressed = [0.0], [0.0]
    for i, entry in enumerate(entries):
        place = ("brake", i)
        start, end, ramp, share = _press(file, entry, place)
        if i and start < time[-1]:
            file.fail((*place, "from"), f"the press before it lasts until {time[-1]:g} s", entry["from"])
        points = [(start, 0.0), (start + ramp, share), (end, share), (end + ramp, 0.0)]
        for t, p in points:
            if t > time[-1]:
                time.append(t)
                pressed.append(p)
    if len(time) == 1:
        time, pressed = [0.0, 1.0], [0.0, 0.0]
    return _core.Stroke(time=time, travel=pressed)


def _press(file: TomlFile, entry: Any, place: Place) -> tuple[float, float, float, float]:
    """Start, end, ramp [s] and how hard [share] of one press."""
    if not isinstance(entry, dict):
        file.fail(place, "must be a table ([[brake]])", entry)
    file.only(place, entry, ["from", "to", "pressed", "ramp"])
    for key in ("from", "to"):
        if key not in entry:
            file.fail(place, f"the press has no {key!r}")
    start, end = (_quantity(file, entry, place, key, "s", (0.0, 1e6)) for key in ("from", "to"))
    ramp = _quantity(file, entry, place, "ramp", "s", (1e-3, 10.0), RAMP)
    share = _quantity(file, entry, place, "pressed", "", (0.0, 1.0), 1.0)
    if end < start + ramp:
        file.fail((*place, "to"), f"must be {start + ramp:g} s or later: 'from' plus the ramp", entry["to"])
    return start, end, ramp, share


def _quantity(
    file: TomlFile,
    entry: dict[str, Any],
    place: Place,
    key: str,
    unit: str,
    allowed: tuple[float, float],
    default: float = 0.0,
) -> float:
    if key not in entry:
        return default
    try:
        value = quantity(entry[key], unit)
    except InputError as error:
        file.fail((*place, key), str(error), entry[key])
    least, most = allowed
    if not least <= value <= most:
        ends = f"{least:g} … {most:g} {unit}".strip()
        file.fail((*place, key), f"outside the allowed range {ends}", entry[key])
    return value
