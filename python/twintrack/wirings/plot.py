# SPDX-License-Identifier: BSD-3-Clause
"""The wiring of a pair as a diagram: terminals, wires, pins, battery and ground, with a fault marked.

Functions differ in dashes as well as in hue; the fault is drawn thick, and named in the title.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import matplotlib.pyplot as plt
from matplotlib.patches import FancyBboxPatch

from .. import _core
from ..pages.plot import BLUE, INK, ORANGE, PURPLE, RED, SOFT

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Left to right: pedal terminals, controller pins for it, controller pins for the body, body terminals.
_PEDAL, _LEFT, _RIGHT, _BODY = 0.0, 3.6, 6.4, 10.0
_LOOKS = {
    "reference": (RED, (0, (6, 2))),
    "return": (INK, "-"),
    "signal": (BLUE, "-"),
    "motor": (PURPLE, (0, (4, 1.5, 1, 1.5))),
}


class _Spot(NamedTuple):
    x: float
    y: float


def wiring_diagram(
    parameters: _core.BenchParameters, joints: Sequence[_core.Joint], fault: _core.Fault | None = None
) -> Figure:
    """The diagram; ``fault`` is one of the wiring."""
    return _Diagram(parameters, joints, fault).figure


class _Diagram:
    def __init__(
        self, p: _core.BenchParameters, joints: Sequence[_core.Joint], fault: _core.Fault | None
    ) -> None:
        self.fault, self.joints = fault, joints
        terminals = _core.pair_terminals(p.pedal, p.body)
        self.connectors = {name: connector for connector, name in terminals}
        names = [name for _, name in terminals]
        self.terminals = _column(names, _PEDAL, _BODY)
        own = {joint.pin: row for row, joint in enumerate(_core.correct_pin_out(p.pedal, p.body))}
        pins = sorted(
            _core.controller_pins(p.pedal, p.body), key=lambda pin: own[pin]
        )  # as the terminals run
        self.pins = _column(pins, _LEFT, _RIGHT)
        self.depth = 1.0 + max(-spot.y for spot in [*self.terminals.values(), *self.pins.values()])
        self.figure = plt.figure(figsize=(9.6, 1.9 + 0.42 * (self.depth + 2)), layout="constrained")
        self.axes: Axes = self.figure.add_subplot()
        self.axes.set(xlim=(-2.1, 12.1), ylim=(-self.depth - 1.5, 2.1))
        self.axes.set_axis_off()
        self._boxes(p)
        self._power()
        for joint in joints:
            self._wire(joint)
        for name, spot in {**self.terminals}.items():
            self._contact(name, spot, outward=True)
        for name, spot in self.pins.items():
            self._contact(name, spot, outward=False)
        if fault is not None:
            _MARKS[fault.what](self, fault)
        title = "Wiring" if fault is None else f"Wiring with fault: {fault.text}"
        self.axes.set_title(title, loc="left", fontsize=11.5, fontweight="bold", color=INK)

    # The drawing -------------------------------------------------------------------------------------------

    def _boxes(self, p: _core.BenchParameters) -> None:
        for left, right, title in (
            (-2.0, _PEDAL, f"pedal\n{p.pedal.name}"),
            (_LEFT, _RIGHT, ""),
            (_BODY, 12.0, f"throttle body\n{p.body.name}"),
        ):
            self.axes.add_patch(
                FancyBboxPatch(
                    (left, -self.depth), right - left, self.depth + 0.7,
                    boxstyle="round,pad=0,rounding_size=0.12", fc="#f6f8fa", ec=SOFT, lw=1,
                )
            )  # fmt: skip
            self.axes.text((left + right) / 2, 0.86, title, ha="center", va="bottom", fontsize=9, color=INK)

    def _power(self) -> None:
        middle = (_LEFT + _RIGHT) / 2
        self.axes.text(_RIGHT, 0.86, "controller", ha="right", va="bottom", fontsize=9, color=INK)
        self.supply, self.ground = _Spot(middle, 1.75), _Spot(middle, -self.depth - 0.9)
        self.axes.plot([middle - 0.45, middle - 0.45], [0.7, 1.75], color=RED, lw=1.4)
        self.axes.text(middle - 0.82, 1.75, "battery", ha="right", va="center", fontsize=8, color=INK)
        self.axes.plot([middle - 0.7, middle - 0.2], [1.75, 1.75], color=RED, lw=3)
        self.supply = _Spot(middle - 0.45, 1.35)
        self.axes.plot([middle, middle], [-self.depth, -self.depth - 0.9], color=INK, lw=1.4)
        self._ground_symbol(middle, -self.depth - 0.9, INK)

    def _ground_symbol(self, x: float, y: float, color: str) -> None:
        for k, half in enumerate((0.28, 0.18, 0.08)):
            self.axes.plot([x - half, x + half], [y - 0.12 * k] * 2, color=color, lw=1.6)

    def _wire(self, joint: _core.Joint) -> None:
        a, b = self.terminals[joint.terminal], self.pins[joint.pin]
        color, dashes = _LOOKS[_function(joint.terminal)]
        across = (a.x < _LEFT) != (b.x < (_LEFT + _RIGHT) / 2)
        fault = self.fault
        stands_out = fault is None or (
            joint.terminal in (fault.where, fault.other) and fault.what != "exchange"
        )
        alpha = 1.0 if stands_out else 0.35
        self.axes.plot(
            [a.x, b.x], [a.y, b.y], color=color, ls=dashes, lw=1.5, alpha=alpha, zorder=1 if across else 2
        )

    def _contact(self, name: str, spot: _Spot, outward: bool) -> None:
        self.axes.plot(*spot, "o", color=INK, ms=4, zorder=4)
        left = (spot.x < _LEFT) if outward else (spot.x > (_LEFT + _RIGHT) / 2)
        self.axes.text(
            spot.x + (-0.12 if left else 0.12), spot.y, _short(name), va="center",
            ha="right" if left else "left", fontsize=8, color=INK,
        )  # fmt: skip

    # The marks ---------------------------------------------------------------------------------------------

    def _at(self, name: str, share: float) -> _Spot:
        """A spot on the wire of a terminal, ``share`` of the way to its pin; the terminal if unwired."""
        if name == "controller supply":
            return self.supply
        if name == "controller ground":
            return _Spot(self.ground.x, self.ground.y + 0.5)
        if name.endswith(" regulator"):  # behind the assembly's first reference pin
            return self.pins[f"{name.removesuffix(' regulator')} reference 1"]
        a = self.terminals[name]
        pin = next((joint.pin for joint in self.joints if joint.terminal == name), None)
        b = self.pins[pin] if pin else a
        return _Spot(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y))

    def _say(self, spot: _Spot, text: str, dx: float = 0.0, dy: float = 0.26, ha: str = "center") -> None:
        self.axes.text(
            spot.x + dx, spot.y + dy, text, ha=ha, va="center", fontsize=8.5, color=ORANGE, fontweight="bold",
            zorder=7, bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
        )  # fmt: skip

    def _beside(self, fault: _core.Fault, spot: _Spot, text: str) -> None:
        """Above a wire that lies, right of one that stands."""
        if fault.where.startswith("controller"):
            self._say(spot, text, dx=0.3, dy=0.0, ha="left")
        else:
            self._say(spot, text, dy=0.4)

    def _line(self, *spots: _Spot) -> None:
        self.axes.plot([s.x for s in spots], [s.y for s in spots], color=ORANGE, lw=3, zorder=5)
        self.axes.plot([spots[0].x], [spots[0].y], "o", color=ORANGE, ms=7, zorder=6)

    def open(self, fault: _core.Fault) -> None:
        spot = self._at(fault.where, 0.5)
        self.axes.plot(*spot, "s", color="white", ms=16, zorder=5)
        self.axes.plot(*spot, "x", color=ORANGE, ms=11, mew=3, zorder=6)
        self._beside(fault, spot, "open")

    def series(self, fault: _core.Fault) -> None:
        spot = self._at(fault.where, 0.5)
        xs = [spot.x + 0.12 * (k - 4) for k in range(9)]
        ys = [spot.y + (0.0 if k in (0, 8) else 0.16 * (-1) ** k) for k in range(9)]
        self.axes.plot([xs[0], xs[-1]], [spot.y] * 2, color="white", lw=5, zorder=5)
        self.axes.plot(xs, ys, color=ORANGE, lw=2.6, zorder=6)
        self._say(spot, _ohms(fault.amount), dy=0.38)

    def leak(self, fault: _core.Fault) -> None:
        start = self._at(fault.where, 0.35)
        end = _Spot(start.x, -self.depth - 0.9)
        self._line(start, end)
        self._ground_symbol(end.x, end.y, ORANGE)
        self._say(_Spot(end.x, (end.y + start.y) / 2), _ohms(fault.amount), dx=0.15, dy=0.0, ha="left")

    def short_to_battery(self, fault: _core.Fault) -> None:
        start = self._at(fault.where, 0.35)
        corner = _Spot(start.x, 1.75)
        self._line(start, corner, _Spot((_LEFT + _RIGHT) / 2 - 0.45, 1.75))
        self._say(corner, _ohms(fault.amount), dx=0.15, dy=0.22, ha="left")

    def short_to(self, fault: _core.Fault) -> None:
        a, b = self._at(fault.where, 0.35), self._at(fault.other, 0.35)
        self._line(a, b)
        self.axes.plot(*b, "o", color=ORANGE, ms=7, zorder=6)
        self._say(_Spot((a.x + b.x) / 2, (a.y + b.y) / 2), _ohms(fault.amount), dx=0.15, dy=0.0, ha="left")

    def exchange(self, fault: _core.Fault) -> None:
        for name, other in ((fault.where, fault.other), (fault.other, fault.where)):
            own = self._at(name, 1.0)
            self.axes.plot(
                [self.terminals[other].x, own.x],
                [self.terminals[other].y, own.y],
                color=ORANGE,
                lw=3,
                zorder=5,
            )
        a, b = self._at(fault.where, 0.5), self._at(fault.other, 0.5)
        self._say(_Spot((a.x + b.x) / 2, (a.y + b.y) / 2), "exchanged", dx=0.0, dy=0.34)

    def offset(self, fault: _core.Fault) -> None:
        spot = self._at(fault.where, 0.0)
        self.axes.plot(*spot, "o", color=ORANGE, ms=11, zorder=6)
        self._beside(fault, spot, f"{fault.amount:+g} V")

    def voltage(self, fault: _core.Fault) -> None:
        spot = self._at(fault.where, 0.0)
        self.axes.plot(*spot, "o", color=ORANGE, ms=11, zorder=6)
        self._beside(fault, spot, f"{fault.amount:g} V")

    def unplugged(self, fault: _core.Fault) -> None:
        for joint in self.joints:
            if self.connectors.get(joint.terminal) == fault.where:
                self.axes.plot(*self._at(joint.terminal, 0.5), "x", color=ORANGE, ms=9, mew=3, zorder=6)


_MARKS = {
    "open": _Diagram.open,
    "series": _Diagram.series,
    "leak": _Diagram.leak,
    "short_to_ground": _Diagram.leak,
    "short_to_battery": _Diagram.short_to_battery,
    "short_to": _Diagram.short_to,
    "exchange": _Diagram.exchange,
    "ground_offset": _Diagram.offset,
    "regulator_offset": _Diagram.offset,
    "regulator_voltage": _Diagram.voltage,
    "unplugged": _Diagram.unplugged,
}


def _column(names: Sequence[str], left: float, right: float) -> dict[str, _Spot]:
    """The pedal's names down the left side, all others down the right."""
    found: dict[str, _Spot] = {}
    for x, side in ((left, True), (right, False)):
        mine = [name for name in names if name.startswith("pedal") == side]
        mine = [n for n in mine if not n.startswith("motor")] + [n for n in mine if n.startswith("motor")]
        found |= {name: _Spot(x, -float(row)) for row, name in enumerate(mine)}
    return found


def _function(terminal: str) -> str:
    return next(name for name in _LOOKS if name in terminal)


def _short(name: str) -> str:
    return name.removeprefix("pedal ").removeprefix("throttle ")


def _ohms(amount: float) -> str:
    for factor, unit in ((1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω")):
        if amount >= factor:
            return f"{amount / factor:g} {unit}"
    return f"{1000 * amount:g} mΩ"
