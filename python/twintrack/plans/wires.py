# SPDX-License-Identifier: BSD-3-Clause
"""Each wire of a pair: from where to where, of what, what it costs in volts.

Resistance is that of :class:`WireParameters` (largest values of ISO 6722-1, 0.393 % per kelvin of IEC 60028);
drops are those of the solved net. Twist, shield, drain and fuses: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .. import _core
from ..tolerances.usual import COLD, HOT, at_temperature

#: The controller's own wires.
POWER = {"controller supply": "supply_wire", "controller ground": "ground_wire"}

#: Order in which wires are laid, numbered and measured: what can hurt least first, what drives the blade
#: last.
FUNCTIONS = ("ground", "supply", "return", "reference", "signal", "motor")

#: [A] largest fuse that still protects a cable of that section [mm²] (common practice, from memory).
LARGEST_FUSE = {0.22: 3, 0.35: 5, 0.5: 7.5, 0.75: 10, 1.0: 15, 1.5: 20, 2.5: 30, 4.0: 40, 6.0: 60}

#: [A] ratings of blade fuses (ISO 8820-3, from memory), those of larger ones after them.
FUSES = (3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0)


@dataclass(frozen=True)
class Wire:
    """One wire. Drops are signed from its terminal to its pin; ``nan`` where it carries no steady current."""

    label: str
    terminal: str
    pin: str
    connector: str
    function: str
    section_mm2: float
    length_m: float
    splices: int
    twisted_with: str
    shield: str
    fuse: str
    ohms_cold: float
    ohms_20: float
    ohms_hot: float
    current_a: float  #: largest of rest, half and full; of motor, supply and ground with the motor stalled
    drop_cold_v: float
    drop_hot_v: float
    error_hot_percent: float  #: of a reading, as a share of the reference


def function_of(terminal: str) -> str:
    return next(
        name for name in ("motor", "return", "reference", "signal", "ground", "supply") if name in terminal
    )


def stall_current(bench: _core.BenchParameters) -> float:
    """[A] the motor can draw: the supply over all that is in series, or the bridge's limit."""
    harness, motor, bridge = bench.wiring.harness, bench.body.mechanics.motor, bench.bridge
    ohms = motor.resistance + 2 * harness.motor_wire.resistance + 2 * bridge.switch_resistance
    ohms += harness.supply_wire.resistance + harness.ground_wire.resistance + bridge.supply_resistance
    return float(min(bench.supply / ohms, bridge.current_limit))


def fuse_of(bench: _core.BenchParameters) -> float | None:
    """[A] the smallest rating that carries the stalled motor and the controller; ``None``: none protects the
    wire."""
    load = stall_current(bench) + bench.supply / bench.wiring.harness.controller.consumption_resistance
    most = LARGEST_FUSE[bench.wiring.harness.supply_wire.section_mm2]
    return next((rating for rating in FUSES if load <= rating <= most), None)


def wires(bench: _core.BenchParameters, joints: Sequence[_core.Joint]) -> list[Wire]:
    """All wires, in the order of FUNCTIONS."""
    connectors = {name: connector for connector, name in _core.pair_terminals(bench.pedal, bench.body)}
    ends = [(name, name.replace("controller ", "")) for name in reversed(POWER)]
    ends += [(joint.terminal, joint.pin) for joint in joints]
    ends.sort(key=lambda end: FUNCTIONS.index(function_of(end[0])))
    drops = [_drops(at_temperature(bench, celsius)) for celsius in (COLD, HOT)]
    fuse = fuse_of(bench)
    found = []
    for number, (terminal, pin) in enumerate(ends, 1):
        own, function = wire_of(bench, terminal), function_of(terminal)
        cold, warm, hot = (own.replace(temperature=t).resistance for t in (COLD, 20.0, HOT))
        drop_cold, drop_hot = (_drop(bench, terminal, *one) for one in zip(drops, (cold, hot), strict=True))
        reads = function in ("return", "reference", "signal")
        found.append(
            Wire(
                label=f"W{number:02d}",
                terminal=terminal,
                pin=pin,
                connector=connectors.get(terminal, "power"),
                function=function,
                section_mm2=own.section_mm2,
                length_m=own.length,
                splices=own.splices,
                twisted_with=_twist(terminal, [end[0] for end in ends]),
                shield=_shield(terminal, own.shielded),
                fuse=f"{fuse:g} A" if fuse and function == "supply" else "",
                ohms_cold=cold,
                ohms_20=warm,
                ohms_hot=hot,
                current_a=abs(drop_hot) / hot if hot else np.nan,
                drop_cold_v=drop_cold,
                drop_hot_v=drop_hot,
                error_hot_percent=100.0 * abs(drop_hot) / bench.reference if reads else np.nan,
            )
        )
    return found


def wire_of(bench: _core.BenchParameters, terminal: str) -> _core.WireParameters:
    harness = bench.wiring.harness
    name = POWER.get(terminal, "motor_wire" if terminal.startswith("motor") else "sensor_wire")
    wire: _core.WireParameters = getattr(harness, name)
    return wire


def _drops(bench: _core.BenchParameters) -> dict[str, float]:
    """[V] from each terminal to its pin, the largest of all stands."""
    stands = [(0.0, "released"), (0.5, "released"), (1.0, "released"), (0.0, "closed"), (0.0, "open")]
    volts = _core.standing_volts(bench, stands=stands)
    points = _core.meter_points(bench)
    found = {}
    for terminal in points:
        pin = pin_of(bench, terminal)
        if pin in points:
            across = volts[:, points.index(terminal)] - volts[:, points.index(pin)]
            found[terminal] = float(across[np.argmax(np.abs(across))])
    return found


def joints_of(bench: _core.BenchParameters) -> Sequence[_core.Joint]:
    """The pin-out in force."""
    return bench.wiring.pin_out or _core.correct_pin_out(bench.pedal, bench.body)


def pin_of(bench: _core.BenchParameters, terminal: str) -> str:
    """ "pin NAME" of the pin that a terminal goes to; empty: none."""
    return next((f"pin {joint.pin}" for joint in joints_of(bench) if joint.terminal == terminal), "")


def _drop(bench: _core.BenchParameters, terminal: str, drops: dict[str, float], ohms: float) -> float:
    function = function_of(terminal)
    if function == "motor":
        return stall_current(bench) * ohms
    if function in ("supply", "ground"):
        return (
            stall_current(bench) + bench.supply / bench.wiring.harness.controller.consumption_resistance
        ) * ohms
    return drops[terminal]


def _twist(terminal: str, all_terminals: Sequence[str]) -> str:
    """Signals and references with the return of their own track; the motor's leads with each other."""
    if terminal.startswith("motor"):
        return ", ".join(t for t in all_terminals if t.startswith("motor") and t != terminal)
    if terminal in POWER:
        return ""
    assembly, track = terminal.split(" ")[0], terminal.split(" ")[-1]
    returns = [t for t in all_terminals if t.startswith(f"{assembly} return")]
    own = [t for t in returns if t.endswith(track)] or returns
    if function_of(terminal) == "return":
        return ", ".join(
            t for t in all_terminals
            if t.startswith(assembly) and t != terminal and (len(returns) == 1 or t.endswith(track))
        )  # fmt: skip
    return own[0] if own else ""


def _shield(terminal: str, shielded: bool) -> str:
    if not shielded or terminal in POWER:
        return ""
    return f"{terminal.split(' ')[0]} cable; drain at the controller's end only"
