# SPDX-License-Identifier: BSD-3-Clause
"""How good parts of a pair usually scatter, where nobody says it: what a wire plan and a diagnosis allow for.

All spreads are common practice, no source: tracks ± 1 % of their supply, references ± 1.5 %, contacts from
new to aged, wires between a cold morning and a hot engine bay (-40 … 105 °C, from memory of ISO 16750-4).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from .. import _core
from .address import value_at
from .apply import combined
from .distribution import Normal, Uniform
from .sampling import points
from .tolerance import Tolerance

#: [°C] of the copper.
COLD, HOT = -40.0, 105.0

_WIRES = ("sensor_wire", "motor_wire", "supply_wire", "ground_wire")


def _about(middle: float, deviation: float) -> Normal:
    return Normal(middle, deviation, middle - 3.0 * deviation, middle + 3.0 * deviation)


def usual(bench: _core.BenchParameters) -> tuple[Tolerance, ...]:
    """What scatters on a healthy bench."""
    found = [
        Tolerance("supply", _about(0.0, 0.25), "offset"),
        Tolerance("reference", _about(1.0, 0.005), "factor"),
        Tolerance("body.mechanics.springs.rest_angle", _about(0.0, 0.007), "offset"),
        Tolerance("body.mechanics.friction.coulomb", Uniform(0.8, 1.0), "factor"),
        Tolerance("body.mechanics.motor.resistance", _about(1.0, 0.03), "factor"),
    ]
    for part, tracks in (("pedal", bench.pedal.tracks), ("body", bench.body.tracks)):
        for k in range(len(tracks)):
            found.append(Tolerance(f"{part}.tracks[{k + 1}].ratio", _about(0.0, 0.0033), "offset"))
    if bench.wiring.kind == "ideal":
        return tuple(found)
    for wire in _WIRES:
        place = f"wiring.harness.{wire}"
        found.append(Tolerance(f"{place}.temperature", Uniform(0.0, 60.0)))
        found.append(Tolerance(f"{place}.contact_resistance", Uniform(0.4, 2.0), "factor"))
    return tuple(found)


def drawn(
    bench: _core.BenchParameters, tolerances: tuple[Tolerance, ...], count: int, seed: int, **fixed: Any
) -> Iterator[_core.BenchParameters]:
    """``count`` benches of the spread; ``fixed`` goes on top of what was drawn, by dotted names."""
    own = bench.to_dict()
    shares = points("sobol", seed, len(tolerances), 0, count)
    columns = [np.asarray(t.distribution.at(shares[:, k])).tolist() for k, t in enumerate(tolerances)]
    for row in range(count):
        changes = {
            t.parameter: combined(value_at(own, t.parameter), t.way, column[row])
            for t, column in zip(tolerances, columns, strict=True)
        }
        yield bench.replace(changes | fixed)


def at_temperature(bench: _core.BenchParameters, celsius: float) -> _core.BenchParameters:
    """The same bench with all copper of its wires at one temperature."""
    return bench.replace({f"wiring.harness.{wire}.temperature": celsius for wire in _WIRES})
