# SPDX-License-Identifier: BSD-3-Clause
"""What a meter reads of a case: volts of a bench that stands still, ohms of unplugged wires."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from ... import _core

#: Where foot and blade are, by the word for it.
STANDS: dict[str, tuple[float, str]] = {
    "rest": (0.0, "released"),
    "half": (0.5, "released"),
    "full": (1.0, "released"),
    "closed": (0.0, "closed"),
    "open": (0.0, "open"),
}

#: Between the free ends of the motor's leads, the motor plugged in.
WINDING = ("lead motor +", "lead motor -")


def volt_name(point: str, stand: str) -> str:
    """The column of a voltage against the ground."""
    return f"V {point} @ {stand}"


def ohm_name(a: str, b: str) -> str:
    """The column of a resistance."""
    return f"ohm {a} | {b}"


def volts_of(bench: _core.BenchParameters) -> list[tuple[str, str]]:
    """(point, stand) of each reading of a voltage: the foot moves the pedal's, a hand the blade's."""
    found = []
    for point in _core.meter_points(bench):
        stands: tuple[str, ...] = ("rest",)
        if "signal" in point:
            stands = ("rest", "half", "full") if "pedal" in point else ("rest", "closed", "open")
        found += [(point, stand) for stand in stands]
    return found


def ohms_of(bench: _core.BenchParameters) -> list[tuple[str, str]]:
    """Pairs between which a resistance is read, everything unplugged."""
    joints = bench.wiring.pin_out or _core.correct_pin_out(bench.pedal, bench.body)
    found = [(j.terminal, f"{'lead' if j.pin.startswith('motor') else 'pin'} {j.pin}") for j in joints]
    found += [("controller supply", "battery"), ("controller ground", "ground")]
    terminals = _core.pair_terminals(bench.pedal, bench.body)
    for _, name in terminals:
        found += [(name, "ground"), (name, "battery")]
    for (connector, a), (other, b) in itertools.combinations(terminals, 2):
        if connector == other:
            found.append((a, b))
    return found


def metered(
    case: _core.Case, volts_at: Sequence[tuple[str, str]], pairs: Sequence[tuple[str, str]]
) -> dict[str, float]:
    """All readings of a meter at one case, by the name of their column."""
    bench, faults = case.parameters, case.faults_of_run
    volts = _core.standing_volts(bench, faults=faults, stands=list(STANDS.values()))
    rows, points = list(STANDS), _core.meter_points(bench)
    column = {name: k for k, name in enumerate(points)}
    found = {
        volt_name(point, stand): float(volts[rows.index(stand), column[point]]) for point, stand in volts_at
    }
    ohms = _core.unplugged_ohms(bench, faults=faults, pairs=pairs)
    (winding,) = _core.unplugged_ohms(bench, faults=faults, pairs=[WINDING], motor=True)
    found |= {ohm_name(*pair): float(value) for pair, value in zip(pairs, ohms, strict=True)}
    return found | {ohm_name(*WINDING): float(winding)}
