# SPDX-License-Identifier: BSD-3-Clause
"""What scatters about the nominal body: its fields, the supply, the winding's temperature."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..errors import InputError
from ..linear.band import value_at
from ..tolerances.sampling import points

#: Fields that scatter unless told otherwise, evenly within ± a share (common practice, no source).
TOLERANCES = {
    "mechanics.motor.resistance": 0.1,
    "mechanics.motor.constant": 0.05,
    "mechanics.inertia": 0.1,
    "mechanics.friction.coulomb": 0.2,
}
_COULOMB, _BREAKAWAY = "mechanics.friction.coulomb", "mechanics.friction.breakaway"
_TEMPERATURE = "mechanics.motor.temperature"

Range = tuple[float, float]


@dataclass(frozen=True)
class Around:
    """One place within the tolerances and ranges."""

    body: Any
    supply: float  #: [V]

    @property
    def text(self) -> str:
        return f"{self.supply:.4g} V, winding {self.body.mechanics.motor.temperature:.4g} °C"


@dataclass(frozen=True)
class Scatter:
    """``tolerances``: paths of fields and ± shares; ``supply`` [V] and ``temperature`` [°C] of the winding:
    least and most."""

    tolerances: Mapping[str, float]
    supply: Range
    temperature: Range

    @staticmethod
    def checked(
        body: Any, tolerances: Mapping[str, float] | None, supply: Range, temperature: Range | None
    ) -> Scatter:
        """Raises :class:`InputError` for what no body can have."""
        spread = TOLERANCES if tolerances is None else tolerances
        for path, width in spread.items():
            value_at(body, path)
            if not (isinstance(width, (int, float)) and 0.0 <= width < 1.0):
                raise InputError(f"tolerances: {path} must be a share from 0 to below 1; got {width!r}")
        own = value_at(body, _TEMPERATURE)
        warm = (
            (own, own)
            if temperature is None
            else _range("temperature_range", temperature, -60.0, 200.0, "°C")
        )
        return Scatter(dict(spread), _range("supply_range", supply, 5.0, 32.0, "V"), warm)

    def draws(self, body: Any, count: int, seed: int) -> list[Around]:
        """Sobol points; the first ones lie in the corners of supply and temperature. The break-away torque
        scatters with the Coulomb friction, below which it cannot be."""
        shares = points("sobol", seed, len(self.tolerances) + 2, 0, count)
        ends = [(0.0, 1.0) if high > low else (0.0,) for low, high in (self.supply, self.temperature)]
        corners = list(itertools.product(*ends))
        if len(corners) > 1:
            some = corners[:count]
            shares[: len(some), -2:] = np.array(some).reshape(-1, 2)
        return [self._at(body, row) for row in shares]

    def _at(self, body: Any, shares: Any) -> Around:
        widths = zip(self.tolerances.items(), shares[:-2], strict=True)
        factors = {path: 1.0 + w * (2.0 * float(x) - 1.0) for (path, w), x in widths}
        if _COULOMB in factors:
            factors.setdefault(_BREAKAWAY, factors[_COULOMB])
        changes = {path: f * value_at(body, path) for path, f in factors.items()}
        supply, warm = (
            low + float(x) * (high - low)
            for (low, high), x in zip((self.supply, self.temperature), shares[-2:], strict=True)
        )
        return Around(body.replace(changes | {_TEMPERATURE: warm}), supply)


def _range(name: str, given: Any, least: float, most: float, unit: str) -> Range:
    fine = isinstance(given, (tuple, list)) and len(given) == 2
    fine = fine and all(isinstance(v, (int, float)) and math.isfinite(v) for v in given)
    if not (fine and least <= given[0] <= given[1] <= most):
        raise InputError(f"{name}: must be two numbers, {least:g} … {most:g} {unit}, rising; got {given!r}")
    return float(given[0]), float(given[1])
