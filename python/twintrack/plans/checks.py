# SPDX-License-Identifier: BSD-3-Clause
"""What a wire plan refuses or remarks on, each with its reason."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from .. import _core
from ..errors import listing
from .wires import LARGEST_FUSE, Wire, function_of, fuse_of, stall_current, wire_of

#: [V] of supply and ground wires together with the motor stalled; [share] of a reading by one wire (common
#: practice).
MOST_SUPPLY_DROP, MOST_READING_ERROR = 0.5, 0.005


class Finding(NamedTuple):
    """``refused``: nobody should wire it so; else a remark."""

    refused: bool
    where: str
    what: str
    reason: str

    @property
    def text(self) -> str:
        return f"{self.where}: {self.what} ({self.reason})"


def findings(
    bench: _core.BenchParameters, joints: Sequence[_core.Joint], wires: Sequence[Wire]
) -> list[Finding]:
    """The refused ones first."""
    found = [*_left_out(bench, joints), *_wrong_pin(bench, joints), *_joined(joints), *_limits(bench, wires)]
    return sorted(found, key=lambda one: not one.refused)


def _left_out(bench: _core.BenchParameters, joints: Sequence[_core.Joint]) -> Iterator[Finding]:
    wired = {joint.terminal for joint in joints}
    why = {
        "return": "its track then reads the supply through whatever else is connected",
        "reference": "its track has no supply and reads a rail",
        "signal": "an open pin is pulled to a rail: the track is lost, and the second one has no partner",
        "motor": "the blade cannot be driven; the springs hold it",
    }
    for _, terminal in _core.pair_terminals(bench.pedal, bench.body):
        if terminal not in wired:
            yield Finding(True, terminal, "is left out", why[function_of(terminal)])
    used = {joint.pin for joint in joints}
    for pin in _core.controller_pins(bench.pedal, bench.body):
        if pin not in used:
            yield Finding(
                False, f"pin {pin}", "has no wire", "insulate it; an open pin picks up what is near"
            )


def _wrong_pin(bench: _core.BenchParameters, joints: Sequence[_core.Joint]) -> Iterator[Finding]:
    own = {joint.terminal: joint.pin for joint in _core.correct_pin_out(bench.pedal, bench.body)}
    for joint in joints:
        if joint.terminal not in own or joint.pin == own[joint.terminal]:
            continue
        what = f"goes to pin {joint.pin}, its own is {own[joint.terminal]}"
        if function_of(joint.terminal) != function_of(joint.pin):
            yield Finding(True, joint.terminal, what, "another function: a supply or a driver meets an input")
        elif joint.terminal.split(" ")[0] != joint.pin.split(" ")[0]:
            yield Finding(
                True, joint.terminal, what, "the other assembly's: foot and blade are taken for each other"
            )
        elif joint.terminal.startswith("motor"):
            yield Finding(
                True, joint.terminal, what, "reversed leads drive the blade away from its set point"
            )
        else:
            yield Finding(False, joint.terminal, what, "right only if the learn and the checks expect it so")


def _joined(joints: Sequence[_core.Joint]) -> Iterator[Finding]:
    on_pin: dict[str, list[str]] = defaultdict(list)
    for joint in joints:
        on_pin[joint.pin].append(joint.terminal)
    for pin, terminals in on_pin.items():
        if len(terminals) < 2:
            continue
        what = f"joins {listing(terminals)}"
        functions = {function_of(terminal) for terminal in terminals}
        if functions <= {"reference"} or functions <= {"return"}:
            yield Finding(
                False, f"pin {pin}", what, "one open wire or one short then takes all these tracks at once"
            )
        else:
            yield Finding(True, f"pin {pin}", what, "these must be apart: the pin then reads neither of them")


def _limits(bench: _core.BenchParameters, wires: Sequence[Wire]) -> Iterator[Finding]:
    stall = stall_current(bench)
    if fuse_of(bench) is None:
        section = bench.wiring.harness.supply_wire.section_mm2
        yield Finding(
            True, "controller supply", f"no fuse carries the stalled motor's {stall:.1f} A and protects "
                                       f"{section:g} mm²",
            f"the largest fuse for that section is {LARGEST_FUSE[section]:g} A",
        )  # fmt: skip
    motor = wire_of(bench, "motor +").section_mm2
    if stall > LARGEST_FUSE[motor]:
        yield Finding(
            True, "motor leads", f"{motor:g} mm² for {stall:.1f} A", f"good for {LARGEST_FUSE[motor]:g} A"
        )
    drop = sum(w.drop_hot_v for w in wires if w.function in ("supply", "ground"))
    if drop > MOST_SUPPLY_DROP:
        yield Finding(
            False, "supply and ground wires", f"lose {drop:.2f} V hot with the motor stalled",
            f"more than {MOST_SUPPLY_DROP:g} V: the motor is weaker and the controller nearer to its reset",
        )  # fmt: skip
    yield from _sensors(bench, wires)


def _sensors(bench: _core.BenchParameters, wires: Sequence[Wire]) -> Iterator[Finding]:
    for wire in wires:
        if wire.error_hot_percent > 100.0 * MOST_READING_ERROR:
            yield Finding(
                False, wire.terminal, f"moves readings by up to {wire.error_hot_percent:.2f} % of the "
                                      f"supply hot",
                f"more than {100 * MOST_READING_ERROR:g} %: a thicker or shorter wire, or fewer contacts",
            )  # fmt: skip
    points, volts = _core.meter_points(bench), _core.standing_volts(bench, stands=[(0.0, "released")])[0]
    ground = volts[points.index("controller ground")]
    for name, value in zip(points, volts, strict=True):
        if name.startswith("pin ") and " reference " in name and value - ground < 0.97 * bench.reference:
            yield Finding(
                True, name, f"only {value - ground:.2f} V with the sensors connected",
                f"its regulator limits at {1e3 * bench.wiring.harness.controller.source_limit:g} mA",
            )  # fmt: skip
    sensor = bench.wiring.harness.sensor_wire
    if not sensor.shielded and sensor.length > 1.0:
        yield Finding(
            False, "sensor wires", f"{sensor.length:g} m without a shield",
            "keep them twisted and a hand's width from the motor's leads; a shield's drain ends at the "
            "controller only",
        )  # fmt: skip
