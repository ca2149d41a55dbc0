# SPDX-License-Identifier: BSD-3-Clause
"""The block picture of a bench: what stands in each block, from a record at an instant or from the parts."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np

from .. import _core
from ..cautions import CAUTION
from ..errors import InputError
from ..pages.block_picture import Block, Diagram, Line, Picture
from ..units import RPM, finite

Values = Mapping[str, float]


def diagram(
    parameters: _core.BenchParameters,
    learned: _core.LearnedRange | None,
    run: Any = None,
    at: float | None = None,
) -> Diagram:
    """The picture; ``run`` is what has a record, codes and faults (a run or a session), ``at`` in seconds.

    Raises :class:`InputError` for an instant outside the record.
    """
    title = f"{parameters.pedal.name} with {parameters.body.name}"
    if run is None:
        if at is not None:
            raise InputError("at: an instant needs a run to take it from; give run= too")
        note = "What is connected to what; give a run to see its values."
        return _picture(parameters, title, note, _parts(parameters, learned), [], {}, [])
    if hasattr(run, "accepted"):
        raise InputError("run: a range learn has a plot of its own; give a run or a session")
    if not isinstance(getattr(run, "record", None), _core.Record):
        raise InputError(f"run: must be a run of the bench or a session; got {run!r}")
    values, when = values_at(run.record, at)
    codes = [(code.code, code.meaning) for code in run.codes if code.confirmed <= when + 1e-9]
    faults = [fault for fault in getattr(run, "faults", []) if _active(fault, when)]
    note = f"Values at {when:.3f} s since key-on."
    return _picture(parameters, title, note, _values(parameters, values), faults, values, codes)


def values_at(record: _core.Record, at: float | None) -> tuple[Values, float]:
    """All signals at the recorded tick nearest to ``at`` [s] (default: the last), and its time."""
    time = record.time
    if len(time) == 0:
        raise InputError("run: nothing is recorded yet; make a step first")
    if at is None:
        row = len(time) - 1
    else:
        period = float(time[1] - time[0]) if len(time) > 1 else 0.0
        if not time[0] - period <= finite(at) <= time[-1] + period:  # NaN lies nowhere
            raise InputError(f"at: must lie between {time[0]:g} s and {time[-1]:g} s, the run; got {at!r}")
        row = int(np.argmin(np.abs(time - at)))
    return {name: float(record[name][row]) for name in record.names}, float(time[row])


def _active(fault: _core.Fault, when: float) -> bool:
    return fault.start <= when and (fault.end is None or when < fault.end)


def _picture(
    parameters: _core.BenchParameters,
    title: str,
    note: str,
    lines: Mapping[str, Sequence[Line]],
    faults: Sequence[_core.Fault],
    values: Values,
    codes: Sequence[tuple[str, str]],
) -> Diagram:
    wrong = {name: [f.text for f in faults if block_of(f) == name] for name in _TITLES}
    blocks = {
        name: Block(text, lines.get(name, ()), wrong[name])
        for name, text in _TITLES.items()
        if name != "engine" or parameters.engine is not None
    }
    closed = parameters.body.mechanics.stops.closed_angle
    angle = values.get("blade.angle", _core.default_angle(parameters.body.mechanics)) - closed
    travel = values.get("pedal.travel", 0.0)
    return Diagram(Picture(title, blocks, lines.get("monitor", ()), codes, travel, angle, note, CAUTION))


_TITLES = {
    "foot": "Foot",
    "pedal": "Pedal tracks",
    "pedal wiring": "Wiring, pins",
    "controller": "Controller",
    "bridge": "Bridge",
    "motor": "Motor and gear",
    "blade": "Blade",
    "throttle": "Throttle tracks",
    "throttle wiring": "Wiring, pins",
    "engine": "Engine",
}


#: Where a fault stands: how the name of its place begins (a regular expression), and the block. The first
#: that matches counts; the lab page has the same table.
PLACES = (
    ("motor", "motor"),
    (r"pedal\.(track|line|idle)", "pedal"),
    (r"throttle\.track", "throttle"),
    ("body|blade", "blade"),
    ("supply$", "bridge"),
    ("reference$|brake$|controller", "controller"),
    ("manifold$", "engine"),
    ("pedal", "pedal wiring"),
    ("", "throttle wiring"),
)


def block_of(fault: _core.Fault) -> str:
    """The block a fault is drawn at."""
    return next(block for place, block in PLACES if re.match(place, fault.where))


def _parts(p: _core.BenchParameters, learned: _core.LearnedRange | None) -> dict[str, list[Line]]:
    """What the blocks say without a run."""
    m, joints = p.body.mechanics, p.wiring.pin_out or _core.correct_pin_out(p.pedal, p.body)
    names = [t.terminal for t in joints]
    wires = {side: sum(n.startswith(side) for n in names) for side in ("pedal", "throttle")}
    stops = m.stops
    rest = (_core.default_angle(m) - stops.closed_angle) / (stops.open_angle - stops.closed_angle)
    known = "yes" if learned else "no"
    lines = {
        "pedal": _tracks(p.pedal),
        "pedal wiring": [Line("wires", str(wires["pedal"])), Line(p.wiring.kind)],
        "controller": [
            Line("range learned", known),
            Line("period", f"{1e3 * p.control_period:g} ms"),
            Line("feed-forward", "on" if p.controller.feed_forward else "off"),
        ],
        "bridge": [Line("supply", f"{p.supply:.1f} V")],
        "motor": [
            Line("R", f"{m.motor.resistance:g} Ω"),
            Line("L", f"{1e3 * m.motor.inductance:g} mH"),
            Line("gear", f"{m.motor.gear_ratio:g}"),
        ],
        "blade": [Line("default", f"{100 * rest:.1f} %")],
        "throttle": _tracks(p.body),
        "throttle wiring": [Line("wires", str(wires["throttle"])), Line(p.wiring.kind)],
    }
    if p.engine is not None:
        lines["engine"] = [Line(p.engine.name), Line("coolant", f"{p.engine.coolant:g} °C")]
    return lines


def _tracks(part: _core.PedalParameters | _core.ThrottleBodyParameters) -> list[Line]:
    """How the tracks are arranged, and their outputs at both ends as shares of their supply."""
    ends = [f"{100 * t.ratio[0]:.0f} → {100 * t.ratio[-1]:.0f} %" for t in part.tracks]
    return [Line(part.arrangement), *(Line(f"track {i + 1}", text) for i, text in enumerate(ends))]


class Written(NamedTuple):
    """How a value is written: in a unit, times ``scale``; what rounds to zero has no sign."""

    unit: str
    digits: int
    scale: float = 1.0

    def __call__(self, value: float) -> str:
        return f"{round(self.scale * value, self.digits) + 0.0:.{self.digits}f} {self.unit}"


_PERCENT, _PIN_VOLTS, _VOLTS = Written("%", 1, 100.0), Written("V", 3), Written("V", 2)

#: Block → lines: label, signal, and how its value is written.
_SIGNALS: dict[str, list[tuple[str, str, Written]]] = {
    "foot": [("travel", "pedal.travel", _PERCENT)],
    "controller": [
        ("demand", "demand", _PERCENT),
        ("set point", "set_point", _PERCENT),
        ("opening, measured", "opening", _PERCENT),
    ],
    "bridge": [
        ("duty", "duty", _PERCENT),
        ("supply", "supply", _VOLTS),
    ],
    "motor": [
        ("voltage", "motor.voltage", _VOLTS),
        ("current", "motor.current", Written("A", 2)),
    ],
    "blade": [("opening", "blade.opening", _PERCENT)],
    "engine": [
        ("speed", "engine.speed", Written("rpm", 0, 1 / RPM)),
        ("set point", "engine.idle_set_point", Written("rpm", 0, 1 / RPM)),
        ("air", "engine.air_flow", Written("g/s", 2, 1e3)),
        ("pressure", "engine.manifold_pressure", Written("kPa", 0, 1e-3)),
    ],
}


def written_signals() -> dict[str, Written]:
    """How each signal of the picture is written, by its name."""
    pins = {f"{side}.track{k}": _PIN_VOLTS for side in ("pedal", "throttle") for k in (1, 2, 3)}
    return {signal: how for rows in _SIGNALS.values() for _, signal, how in rows} | pins


def _values(p: _core.BenchParameters, values: Values) -> dict[str, list[Line]]:
    """What the blocks say with the values of an instant; a signal that is not recorded is left out."""
    lines = {
        block: [Line(label, text(values[s]), s) for label, s, text in rows if s in values]
        for block, rows in _SIGNALS.items()
    }
    for block, part in (("pedal", p.pedal), ("throttle", p.body)):
        lines[block] = _tracks(part)
        # A record holds the volts at the controller's pins, behind the wiring.
        names = [f"{block}.track{i + 1}" for i in range(len(part.tracks))]
        lines[f"{block} wiring"] = [
            Line(f"track {i + 1}", _PIN_VOLTS(values[n]), n) for i, n in enumerate(names) if n in values
        ]
    rungs = _core.reactions()
    lines["monitor"] = []
    if "reaction" in values:
        lines["monitor"].append(Line("reaction", rungs[round(values["reaction"])], "reaction"))
    if values.get("controller.awake", 1.0) < 0.5:
        lines["controller"].append(Line("in reset", "", "controller.awake"))
    return lines
