# SPDX-License-Identifier: BSD-3-Clause
"""What a meter will show on a healthy pair, from the solved net, under the usual tolerances, cold and hot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..tolerances.usual import COLD, HOT, at_temperature, drawn, usual
from .wires import joints_of

#: Where foot and blade are while one measures, in words.
STANDS: dict[str, tuple[float, str]] = {
    "at rest": (0.0, "released"),
    "foot half": (0.5, "released"),
    "foot full": (1.0, "released"),
    "blade held closed": (0.0, "closed"),
    "blade held open": (0.0, "open"),
}

#: Draws of the tolerances at each temperature; the range shown is theirs, widened by a tenth of itself and
#: by what a meter may be off: 0.5 % and 5 mV (common practice).
DRAWS, METER_SHARE, METER_VOLTS = 32, 0.005, 0.005


@dataclass(frozen=True)
class Range:
    """What to expect: the parts' own value, and least and most under the tolerances."""

    nominal: float
    least: float
    most: float

    @property
    def text(self) -> str:
        return f"{self.nominal + 0.0:.3f} V ({self.least:.3f} … {self.most:.3f})".replace("-0.000", "0.000")


class Expected:
    """Volts of pins against the controller's ground pin; ``apart``: connectors that are not plugged in."""

    def __init__(self, bench: _core.BenchParameters, apart: Sequence[str] = (), seed: int = 1) -> None:
        self._bench, self._seed = bench, seed
        wired = [joint.terminal for joint in joints_of(bench)]
        terminals = _core.pair_terminals(bench.pedal, bench.body)
        self._faults = [
            _core.Fault(where=name, what="open")
            for connector, name in terminals
            if connector in apart and name in wired
        ]
        self.points = _core.meter_points(bench)

    def _volts(self, bench: _core.BenchParameters) -> NDArray[np.float64]:
        volts = _core.standing_volts(bench, faults=self._faults, stands=list(STANDS.values()))
        return np.asarray(volts - volts[:, [self.points.index("controller ground")]])

    @cached_property
    def _nominal(self) -> NDArray[np.float64]:
        return self._volts(self._bench)

    @cached_property
    def _drawn(self) -> dict[str, NDArray[np.float64]]:
        """Draws × stands × points, by "cold" and "hot"."""
        benches = list(drawn(self._bench, usual(self._bench), DRAWS, self._seed))
        return {
            name: np.array([self._volts(at_temperature(bench, celsius)) for bench in benches])
            for name, celsius in (("cold", COLD), ("hot", HOT))
        }

    def at(self, point: str, stand: str, temperature: str = "") -> Range:
        """``temperature``: "cold", "hot", or both."""
        row, column = list(STANDS).index(stand), self.points.index(point)
        some = [self._drawn[name] for name in ((temperature,) if temperature else ("cold", "hot"))]
        values = np.concatenate([one[:, row, column] for one in some])
        margin = 0.1 * np.ptp(values) + METER_SHARE * np.abs(values).max() + METER_VOLTS
        return Range(
            float(self._nominal[row, column]), float(values.min() - margin), float(values.max() + margin)
        )
