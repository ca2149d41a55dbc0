# SPDX-License-Identifier: BSD-3-Clause
"""What to measure before key-on, in an order that cannot hurt.

Unplugged before powered; ground, supply and returns before references and signals; the motor's leads last.
The order is common practice, no source.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .. import _core
from ..tolerances.usual import COLD, HOT
from .expected import Expected
from .wires import Wire, wire_of

#: [ohm] below which two wires that must be apart are not (common practice).
APART = 1e6
#: [ohm] that leads and tips of a meter add.
LEADS = 0.3

_OFF = "key off, battery's minus off, all connectors apart"
_POWERED = "key on, both assemblies unplugged, motor leads off at the controller"
_SENSING = "key on, assemblies plugged in, motor leads still off at the controller"
_LAST = "key off, battery's minus off, body plugged in, motor leads still off at the controller"


@dataclass(frozen=True)
class Step:
    """``least`` … ``most`` in ``unit``: what it must show; NaN: no bound."""

    number: int
    state: str
    measure: str
    expect: str
    least: float
    most: float
    unit: str
    caution: str = ""


#: Stand before the first step, and on every page of a plan.
CAUTIONS = (
    "Engine off, wheels chocked, gear in neutral or park; battery's minus off until a step says otherwise.",
    "Until the last step the motor's leads stay off at the controller and insulated: then the blade "
    "cannot be "
    "driven, and only then may a hand move it.",
    "Once the leads are on, hands and tools out of the bore: the blade moves by itself at key-on and in "
    "the learn.",
    "The data of the components' makers, local law and licensed practice come before anything written here.",
)


def checklist(bench: _core.BenchParameters, wires: Sequence[Wire]) -> list[Step]:
    """All steps in order."""
    rows = [*_unplugged(bench, wires), *_powered(bench), *_sensing(bench), *_motor(bench, wires)]
    return [Step(number, *row) for number, row in enumerate(rows, 1)]


Row = tuple[str, str, str, float, float, str, str]


def _unplugged(bench: _core.BenchParameters, wires: Sequence[Wire]) -> Iterator[Row]:
    for wire in wires:
        most = wire.ohms_hot + wire_of(bench, wire.terminal).contacts * 0.02 + LEADS
        yield (
            _OFF, f"{wire.label}, ohms from {wire.terminal} to pin {wire.pin}", f"below {most:.2g} Ω",
            0.0, most, "ohm", "",
        )  # fmt: skip
    for wire in wires:
        if wire.function == "ground":
            continue
        for other in ("ground", "battery's plus"):
            if wire.function == "supply" and other != "ground":
                continue
            yield (
                _OFF, f"{wire.label}, ohms from {wire.terminal} to {other}", "above 1 MΩ",
                APART, float("inf"), "ohm", "",
            )  # fmt: skip
    for here, there in itertools.pairwise(wires):
        if here.connector == there.connector:
            what = f"{here.label} and {there.label}, ohms between {here.terminal} and {there.terminal}"
            yield _OFF, what, "above 1 MΩ", APART, float("inf"), "ohm", ""


def _powered(bench: _core.BenchParameters) -> Iterator[Row]:
    connectors = dict.fromkeys(connector for connector, _ in _core.pair_terminals(bench.pedal, bench.body))
    expected = Expected(bench, apart=list(connectors))
    caution = "insulate the motor's leads before the battery goes on"
    order = [
        "controller supply",
        *_pins(bench, "return"),
        *_pins(bench, "reference"),
        *_pins(bench, "signal"),
    ]
    for point in order:
        yield _volts(_POWERED, expected, point, "at rest", caution)


def _sensing(bench: _core.BenchParameters) -> Iterator[Row]:
    expected = Expected(bench)
    for point in [*_pins(bench, "return"), *_pins(bench, "reference")]:
        yield _volts(_SENSING, expected, point, "at rest", "")
    for stand in ("at rest", "foot half", "foot full"):
        for point in _pins(bench, "signal", "pedal"):
            yield _volts(_SENSING, expected, point, stand, "")
    for stand in ("at rest", "blade held closed", "blade held open"):
        for point in _pins(bench, "signal", "throttle"):
            caution = "" if stand == "at rest" else "a hand on the blade only while the motor's leads are off"
            yield _volts(_SENSING, expected, point, stand, caution)


def _motor(bench: _core.BenchParameters, wires: Sequence[Wire]) -> Iterator[Row]:
    motor = bench.body.mechanics.motor
    leads = sum(w.ohms_hot for w in wires if w.function == "motor")
    least = 0.9 * motor.resistance * (1 + 0.00393 * (COLD - 20.0))
    most = 1.1 * motor.resistance * (1 + 0.00393 * (HOT - 20.0)) + leads + LEADS
    yield (
        _LAST, "ohms between the two free motor leads", f"{motor.resistance:.3g} Ω and leads "
                                                        f"({least:.2g} … {most:.2g})",
        least, most, "ohm", "turn the blade a little between readings: brushes",
    )  # fmt: skip
    for lead in ("motor +", "motor -"):
        yield _LAST, f"ohms from the free lead {lead} to ground", "above 1 MΩ", APART, float("inf"), "ohm", ""
    nothing = float("nan")
    yield (
        "key off", "connect motor + and motor -, each to its own pin", "each lead at its label's pin",
        nothing, nothing, "", "from here on the blade may be driven: hands and tools out of the bore",
    )  # fmt: skip
    yield (
        "key on, engine off", "watch the blade from a distance, then run the range "
                              "learn", "a twitch, then still",
        nothing, nothing, "", "the blade visits both stops by itself; a switch that cuts the power in reach",
    )  # fmt: skip


def _pins(bench: _core.BenchParameters, function: str, assembly: str = "") -> list[str]:
    return [f"pin {p}" for p in _core.controller_pins(bench.pedal, bench.body)
            if f" {function} " in p and p.startswith(assembly)]  # fmt: skip


def _volts(state: str, expected: Expected, point: str, stand: str, caution: str) -> Row:
    volts = expected.at(point, stand)
    what = f"volts at {point} against the controller's ground pin, {stand}"
    return state, what, volts.text, volts.least, volts.most, "V", caution
