# SPDX-License-Identifier: BSD-3-Clause
"""The drawing of a wire plan, for one landscape A4 page; all lengths in millimetres on paper.

Functions differ in dashes as well as in hue, so that a print without colours can be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .. import _core
from ..pages.plot import BLUE, INK, PURPLE, RED, SOFT
from .wires import Wire, pin_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from .plan import WirePlan

WIDTH, HEIGHT = 297.0, 210.0
_LEFT, _PINS_LEFT, _PINS_RIGHT, _RIGHT = 44.0, 124.0, 173.0, 253.0
_TOP, _BOTTOM = 172.0, 46.0
_LOOKS = {
    "reference": (RED, (0, (6, 2))),
    "return": (INK, "-"),
    "signal": (BLUE, "-"),
    "motor": (PURPLE, (0, (4, 1.5, 1, 1.5))),
    "supply": (RED, "-"),
    "ground": (INK, "-"),
}


def drawing(plan: WirePlan) -> str:
    """The page as an ``<svg>`` element whose size is that of the paper."""
    import matplotlib.pyplot as plt

    from ..pages.page import svg

    figure = plt.figure(figsize=(WIDTH / 25.4, HEIGHT / 25.4))
    try:
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set(xlim=(0.0, WIDTH), ylim=(0.0, HEIGHT))
        axes.set_axis_off()
        _Page(plan, axes)
        return svg(figure)
    finally:
        plt.close(figure)


class _Page:
    def __init__(self, plan: WirePlan, axes: Axes) -> None:
        self.plan, self.axes = plan, axes
        bench = plan.bench
        terminals = [name for _, name in _core.pair_terminals(bench.pedal, bench.body)]
        pins = {name: pin_of(bench, name).removeprefix("pin ") for name in terminals}
        sides = [[n for n in terminals if n.startswith("pedal") == pedal] for pedal in (True, False)]
        sides[1].sort(key=lambda name: name.startswith("motor"))
        self.pitch = (_TOP - _BOTTOM) / max(len(sides[0]), len(sides[1]), 6)
        self.spots: dict[str, tuple[float, float]] = {}
        for side, names in enumerate(sides):
            self._column(names, _LEFT if side == 0 else _RIGHT)
        own = {f"pin {joint.pin}": joint.terminal for joint in _core.correct_pin_out(bench.pedal, bench.body)}
        for pin in (f"pin {p}" for p in _core.controller_pins(bench.pedal, bench.body)):
            x = _PINS_LEFT if pin.startswith("pin pedal") else _PINS_RIGHT
            self.spots[pin] = x, self.spots[own[pin]][1]
        self._frames(bench)
        for wire in plan.wires:
            if wire.function not in ("supply", "ground"):
                self._wire(wire)
        for assembly in ("pedal", "throttle"):
            self._cable(assembly, [n for n in pins if n.startswith(assembly)])
        self._twisted_motor()
        for name, (x, y) in self.spots.items():
            self._contact(name, x, y)
        self._power()
        self._words()

    def _column(self, names: Sequence[str], x: float) -> None:
        for row, name in enumerate(names):
            self.spots[name] = x, _TOP - self.pitch * (row + 0.5)

    def _text(self, x: float, y: float, text: str, size: float = 7.5, color: str = INK, ha: str = "left",
              weight: str = "normal", box: bool = False) -> None:  # fmt: skip
        back = {"facecolor": "white", "edgecolor": "none", "pad": 0.6} if box else None
        self.axes.text(
            x, y, text, fontsize=size, color=color, ha=ha, va="center", fontweight=weight, bbox=back, zorder=5
        )

    def _frames(self, bench: _core.BenchParameters) -> None:
        from matplotlib.patches import Rectangle

        for left, right, title in (
            (12.0, _LEFT, f"pedal: {bench.pedal.name}"),
            (_PINS_LEFT, _PINS_RIGHT, "controller"),
            (_RIGHT, WIDTH - 12.0, f"throttle body: {bench.body.name}"),
        ):
            box = Rectangle((left, _BOTTOM), right - left, _TOP - _BOTTOM + 3, fc="#f6f8fa", ec=SOFT, lw=0.8)
            self.axes.add_patch(box)
            self._text((left + right) / 2, _TOP + 6, title, 7.0, ha="center", weight="bold")

    def _wire(self, wire: Wire) -> None:
        (x0, y0), (x1, y1) = self.spots[wire.terminal], self.spots[f"pin {wire.pin}"]
        color, dashes = _LOOKS[wire.function]
        self.axes.plot(
            [x0, x1], [y0, y1], color=color, ls=dashes, lw=2.0 if wire.function == "motor" else 1.2
        )
        splices = f", splices: {wire.splices}" if wire.splices else ""
        text = f"{wire.label}  {wire.section_mm2:g} mm², {wire.length_m:g} m{splices}"
        share = 0.5 if abs(y0 - y1) < 1e-6 else 0.3  # wires that cross keep their words apart
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        self._text(
            x,
            y + 0.26 * self.pitch if share == 0.5 else y,
            text,
            6.5,
            color=color,
            ha="center",
            box=share != 0.5,
        )

    def _contact(self, name: str, x: float, y: float) -> None:
        self.axes.plot([x], [y], "o", color=INK, ms=3, zorder=4)
        left = name.startswith("pedal") or x == _PINS_RIGHT
        short = name.removeprefix("pin ").removeprefix("pedal ").removeprefix("throttle ")
        self._text(x + (-2.0 if left else 2.0), y, short, 7.0, ha="right" if left else "left")

    def _cable(self, assembly: str, names: Sequence[str]) -> None:
        """Twisted tracks, and the shield with its drain at the controller's end."""
        x0, x1 = (_LEFT, _PINS_LEFT) if assembly == "pedal" else (_RIGHT, _PINS_RIGHT)
        toward = 1.0 if x1 > x0 else -1.0
        groups: dict[str, list[str]] = {}
        for name in names:
            groups.setdefault(
                name.split(" ")[-1] if name[-1].isdigit() and self._separate(names) else "", []
            ).append(name)
        for group in groups.values():
            ys = [self.spots[name][1] for name in group]
            top = max(ys)
            x = x0 + toward * 9.0
            self.axes.plot([x, x], [min(ys) - 1.5, max(ys) + 1.5], color=SOFT, lw=0.9, zorder=1)
            self._text(x, top + 3.2, "twisted", 7.0, SOFT, "center", box=True)
        if not any(w.shield for w in self.plan.wires if w.terminal in names):
            return
        from matplotlib.patches import FancyBboxPatch

        ys = [self.spots[name][1] for name in names]
        low, high = min(ys) - 0.42 * self.pitch, max(ys) + 0.46 * self.pitch
        a, b = sorted((x0 + toward * 5.0, x1 - toward * 7.0))
        frame = FancyBboxPatch((a, low), b - a, high - low, boxstyle="round,pad=0,rounding_size=2")
        frame.set(facecolor="none", edgecolor=SOFT, linewidth=0.9, linestyle=(0, (2, 1.5)))
        self.axes.add_patch(frame)
        near = x1 - toward * 7.0
        self.axes.plot([near, x1], [low + 2.0, low + 2.0], color=SOFT, lw=1.0)
        self._text(
            near - toward * 1.0,
            low + 2.0,
            "drain: this end only",
            5.5,
            SOFT,
            "right" if toward > 0 else "left",
        )

    @staticmethod
    def _separate(names: Sequence[str]) -> bool:
        return sum(" return" in name for name in names) > 1

    def _twisted_motor(self) -> None:
        ys = [self.spots[name][1] for name in ("motor +", "motor -")]
        top = max(ys)
        x = _RIGHT - 9.0
        self.axes.plot([x, x], [min(ys) - 1.5, max(ys) + 1.5], color=SOFT, lw=0.9)
        self._text(x, top + 3.2, "twisted", 7.0, SOFT, "center", box=True)

    def _power(self) -> None:
        middle, bench = (_PINS_LEFT + _PINS_RIGHT) / 2, self.plan.bench
        for wire in self.plan.wires:
            if wire.function not in ("supply", "ground"):
                continue
            x = middle + (-12.0 if wire.function == "supply" else 12.0)
            color, dashes = _LOOKS[wire.function]
            self.axes.plot([x, x], [_BOTTOM, 30.0], color=color, ls=dashes, lw=2.0)
            text = f"{wire.label}  {wire.section_mm2:g} mm², {wire.length_m:g} m"
            self._text(x + (-2 if wire.function == "supply" else 2), 36.0, text, 7.5, color,
                       "right" if wire.function == "supply" else "left")  # fmt: skip
            if wire.function == "supply":
                self._fuse(x, wire.fuse)
                self._text(x - 3, 21.0, f"battery +, {bench.supply:g} V", 7.0, ha="right")
                self.axes.plot([x, x], [27.0, 21.0], color=color, lw=2.0)
            else:
                for k, half in enumerate((4.0, 2.6, 1.2)):
                    self.axes.plot([x - half, x + half], [30.0 - 1.4 * k] * 2, color=INK, lw=1.2)
                self._text(x + 6, 28.5, "ground point: engine block, battery −", 7.0)
        self._text(middle, _BOTTOM + 3.0, "supply        ground", 7.0, ha="center")

    def _fuse(self, x: float, rating: str) -> None:
        from matplotlib.patches import Rectangle

        self.axes.add_patch(Rectangle((x - 1.6, 27.0), 3.2, 6.0, fc="white", ec=INK, lw=0.9, zorder=4))
        self._text(x - 3, 29.0, f"fuse {rating or '?'}", 7.0, ha="right")

    def _words(self) -> None:
        plan = self.plan
        self._text(12.0, 199.0, "Wire plan", 15.0, weight="bold")
        title = f"{plan.bench.pedal.name} with {plan.bench.body.name}; {plan.bench.body.origin}"
        self._text(12.0, 191.5, title[:110], 8.0, SOFT)
        x = 150.0
        for name in ("reference", "return", "signal", "motor"):
            color, dashes = _LOOKS[name]
            self.axes.plot(
                [x, x + 12.0], [199.0] * 2, color=color, ls=dashes, lw=2.0 if name == "motor" else 1.2
            )
            self._text(x + 14.0, 199.0, name, 7.0)
            x += 34.0
        lines = [
            "Returns and references are kept apart track by track as drawn; no joint but those drawn.",
            "Motor leads stay off at the controller until every other measurement is right: only then "
            "can no drive move the blade.",
            "Engine off, wheels chocked, hands out of the bore once the leads are on. Makers' data, "
            "local law and licensed practice first.",
        ]
        for k, line in enumerate(lines):
            self._text(12.0, 14.0 - 4.2 * k, line, 7.5, SOFT)
        refused = [f"{one.where} {one.what}" for one in plan.findings if one.refused]
        for k, text in enumerate(refused[:3]):
            self._text(285.0, 14.0 - 4.2 * k, f"REFUSED: {text[:70]}", 6.5, RED, "right", "bold")
