# SPDX-License-Identifier: BSD-3-Clause
"""What a tuning found."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from ..pages.text_table import text_table
from .draws import Around
from .wishes import Wishes

Floats = NDArray[np.float64]

_UNITS = {
    "proportional": "V/rad",
    "integral": "V/rad/s",
    "derivative": "V*s/rad",
    "observer_pole": "1/s",
    "load_pole": "1/s",
    "set_point_time": "s",
}


@dataclass(frozen=True)
class Row:
    """A wish: limit, what the nominal body reaches, worst of the draws, its number and place, whether met."""

    wish: str
    unit: str
    limit: float
    nominal: float
    worst: float
    draw: int | None
    where: str
    met: bool

    @property
    def texts(self) -> list[str]:
        values = (self.limit, self.nominal, self.worst)
        numbers = [f"{v:.4g} {self.unit}".strip() if math.isfinite(v) else "never" for v in values]
        return [self.wish, *numbers, self.where, "yes" if self.met else "NOT MET"]


HEAD = ["wish", "limit", "nominal", "worst", "worst at", "met"]


@dataclass(frozen=True)
class Candidate:
    """Settings that were tried; ``values``: reached by the nominal body; ``worst``: the worst of each over
    some draws, for the candidates that the choice was made of."""

    controller: Any
    values: dict[str, float]
    worst: dict[str, float] | None = None


@dataclass(frozen=True)
class Steps:
    """The blade's angle [rad] over time [s], by name."""

    time: Floats
    curves: dict[str, Floats]


@dataclass(frozen=True)
class Tuned:
    """``controller`` breaks the wishes least at the worst draws; ``table`` says which it breaks.

    ``candidates`` are all that were tried; ``front`` are those of the choice that no other beats at the worst
    draws in both settling and noise.
    """

    controller: Any
    table: list[Row]
    candidates: list[Candidate]
    draws: int
    steps: Steps

    NAMES: ClassVar[tuple[str, ...]] = tuple(_UNITS)

    @property
    def met(self) -> bool:
        return all(row.met for row in self.table)

    @property
    def front(self) -> list[Candidate]:
        return front([c for c in self.candidates if c.worst is not None], worst=True)

    @property
    def settings(self) -> dict[str, str]:
        """What was tuned, with units."""
        return {name: f"{getattr(self.controller, name)!r} {unit}" for name, unit in _UNITS.items()}

    @property
    def toml(self) -> str:
        """The table ``[bench.controller]`` of a study file."""
        rows = [f'{name} = "{value}"' for name, value in self.settings.items()]
        return "\n".join(["[bench.controller]", *rows, ""])

    def __str__(self) -> str:
        return str(text_table(HEAD, [row.texts for row in self.table]))


def front(candidates: Sequence[Candidate], *, worst: bool = False) -> list[Candidate]:
    """Those that no other beats in both settling and noise, quickest first."""

    def pair(c: Candidate) -> tuple[float, float]:
        values = (c.worst or c.values) if worst else c.values
        return values["settling"], values["duty_noise"]

    def beats(one: tuple[float, float], other: tuple[float, float]) -> bool:
        return one != other and one[0] <= other[0] and one[1] <= other[1]

    sound = [c for c in candidates if not any(map(math.isnan, pair(c)))]
    return sorted((c for c in sound if not any(beats(pair(o), pair(c)) for o in sound)), key=pair)


def worst_of(wishes: Wishes, all_values: Sequence[dict[str, float]]) -> dict[str, int]:
    """Of each wish, the number of the worst of these; what has no value is worse than any."""
    found = {}
    for name, _ in wishes.items():
        sign = -1.0 if name.endswith("margin") else 1.0
        rated = [math.inf if math.isnan(v[name]) else sign * v[name] for v in all_values]
        found[name] = max(range(len(rated)), key=rated.__getitem__)
    return found


def table(
    wishes: Wishes, nominal: dict[str, float], draws: Sequence[Around], reached: Sequence[dict[str, float]]
) -> list[Row]:
    """The nominal body is among those that can be the worst."""
    worst = worst_of(wishes, [nominal, *reached])
    rows = []
    for name, limit in wishes.items():
        draw = worst[name] - 1
        value = reached[draw][name] if draw >= 0 else nominal[name]
        met = wishes.excess(name, nominal[name]) == 0.0 and wishes.excess(name, value) == 0.0
        where = f"draw {draw}: {draws[draw].text}" if draw >= 0 else "nominal"
        unit = wishes.UNITS[name]
        rows.append(Row(name, unit, limit, nominal[name], value, draw if draw >= 0 else None, where, met))
    return rows
