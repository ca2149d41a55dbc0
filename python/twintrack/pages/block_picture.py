# SPDX-License-Identifier: BSD-3-Clause
"""The bench as blocks and arrows, with the values of one instant: an SVG drawing.

Blocks stand at fixed places; :class:`Block` says what is written into each. What a value belongs to is in its
attribute ``data-signal``, so that a page may write newer values into the same drawing.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from .page import rendered


class Line(NamedTuple):
    """One line of a block: what it is, its value as text, and the signal it comes from."""

    label: str
    value: str = ""
    signal: str = ""


@dataclass(frozen=True)
class Block:
    """What is written into a block, and what is wrong there."""

    title: str
    lines: Sequence[Line] = ()
    faults: Sequence[str] = ()


class Place(NamedTuple):
    """Left edge, upper edge, width, height [px]."""

    x: int
    y: int
    wide: int
    high: int


#: Where each block stands. Above: from foot to blade. Below: what comes back.
PLACES = {
    "foot": Place(14, 70, 120, 160),
    "pedal": Place(164, 70, 144, 160),
    "pedal wiring": Place(338, 70, 134, 160),
    "controller": Place(514, 70, 224, 396),
    "bridge": Place(780, 70, 130, 160),
    "motor": Place(940, 70, 130, 160),
    "blade": Place(1118, 70, 150, 160),
    "throttle wiring": Place(780, 306, 130, 160),
    "throttle": Place(940, 306, 140, 160),
    "engine": Place(1118, 306, 150, 160),
}
WIDE, HIGH = 1282, 500
#: Where the controller's lower half, the monitor, begins [px from the controller's upper edge].
MONITOR = 190

#: Arrows: points of the line, text, where the text stands.
ARROWS = {
    "foot": ("M134 150 H160", "", (0, 0)),
    "pedal": ("M308 150 H334", "V", (320, 142)),
    "pedal wiring": ("M472 150 H510", "V", (490, 142)),
    "controller": ("M738 150 H776", "duty", (757, 142)),
    "bridge": ("M910 150 H936", "V", (922, 142)),
    "motor": ("M1070 150 H1114", "torque", (1092, 142)),
    "blade": ("M1140 230 V268 H1010 V302", "angle", (1076, 262)),
    "throttle": ("M940 386 H914", "V", (926, 378)),
    "throttle wiring": ("M780 386 H742", "V", (760, 378)),
}
#: With an engine: air to it, speed from it.
ENGINE_ARROWS = {
    "air": ("M1204 230 V302", "air", (1220, 270)),
    "speed": ("M1193 466 V490 H626 V470", "engine speed", (910, 484)),
}


@dataclass(frozen=True)
class Picture:
    """All that is drawn. ``pedal`` and ``blade_angle`` [rad from closed] turn the two small pictures."""

    title: str
    blocks: Mapping[str, Block]
    monitor: Sequence[Line] = ()
    codes: Sequence[tuple[str, str]] = ()  #: code and meaning
    pedal: float = 0.0  #: share of travel
    blade_angle: float = 0.0
    note: str = ""
    caution: str = ""
    places: Mapping[str, Place] = field(default_factory=lambda: PLACES)


def draw(picture: Picture) -> str:
    """The drawing as an ``<svg>`` element."""
    arrows = ARROWS | (ENGINE_ARROWS if "engine" in picture.blocks else {})
    return rendered(
        "block_picture.svg.j2",
        picture=picture,
        arrows=arrows,
        wide=WIDE,
        high=HIGH + (20 if "engine" in picture.blocks else 0),
        monitor=MONITOR,
        pedal_degrees=-24.0 + 22.0 * picture.pedal,
        # A closed plate stands nearly across the bore; open it lies along.
        blade_degrees=90.0 - math.degrees(picture.blade_angle),
        cut=cut,
        wrapped=wrapped,
    )


def wrapped(faults: Sequence[str], place: Place, above: int, name: str) -> list[str]:
    """The faults as lines that fit into a block below ``above`` lines; those of the blade stand above its
    picture."""
    letters, most = (
        int((place.wide - 14) / 6.4),
        2 if name == "blade" else (place.high - 34 - 18 * above) // 14,
    )
    lines = [line for fault in faults for line in textwrap.wrap(f"⚠ {fault}", letters)]
    return [*lines[: most - 1], f"… {len(faults)} in all"] if len(lines) > most else lines


def cut(text: str, most: int) -> str:
    """The text with at most ``most`` characters."""
    return text if len(text) <= most else f"{text[: most - 1]}…"


class Diagram:
    """A drawing: shown by notebooks, written by :meth:`save`; ``svg`` is its text."""

    def __init__(self, picture: Picture) -> None:
        self.picture = picture
        self.svg = draw(picture)

    def _repr_svg_(self) -> str:
        return self.svg

    def __repr__(self) -> str:
        return f"<Diagram: {self.picture.title}>"

    def save(self, path: str | Path) -> Path:
        """Writes an SVG file and returns its path. Raises :class:`InputError` when that cannot be done."""
        from ..errors import InputError

        if not isinstance(path, str | Path):
            raise InputError(f"path: must be the name of a file; got {path!r}")
        target = Path(path)
        if target.suffix.lower() != ".svg":
            raise InputError(f"{target}: the drawing is written as SVG; give a name that ends in .svg")
        try:
            target.write_text(f'<?xml version="1.0" encoding="UTF-8"?>\n{self.svg}\n', encoding="utf-8")
        except (OSError, ValueError) as error:  # ValueError: a name that no file can have
            raise InputError(f"{target}: cannot be written: {error}") from error
        return target
