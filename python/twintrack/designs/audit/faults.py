# SPDX-License-Identifier: BSD-3-Clause
"""Every single fault of a pair, each with representative amounts.

Of each kind in the catalogue: both ends of what it allows (the worst that can be described) and a small
amount, which is a monitor's harder task. The small ones are this bench's own. The faults of the wiring follow
from the terminals, with amounts of their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from ... import _core

#: Small amounts by what is wrong, or by place and what, in the unit of the catalogue.
SMALL: dict[str | tuple[str, str], tuple[float, ...]] = {
    "offset": (-0.04, 0.04),
    "gain": (0.85, 1.15),
    "noise": (0.02,),
    "lag": (0.1,),
    "scale": (0.5,),
    ("body.friction", "scale"): (3.0,),
    ("supply", "scale"): (0.6,),
    ("blade", "torque"): (-0.3, 0.3),
    ("body.closed_stop", "shift"): (0.03,),
    ("body.open_stop", "shift"): (-0.1,),
    ("motor", "heat"): (60.0,),
    ("manifold", "vacuum_leak"): (10e-6, 40e-6),
}

#: What is wrong with a wire, in words.
WIRING = {
    "series": "added resistance",
    "short_to": "short between two",
    "exchange": "two exchanged",
}

#: Factor and name of units that are shown as another.
_SHOWN = {"": (100.0, "%"), "m^2": (1e6, "mm²")}

#: The amount that changes nothing.
_IDENTITY = {"gain": 1.0, "scale": 1.0}


@dataclass(frozen=True)
class SingleFault:
    """A fault without its time."""

    where: str
    what: str
    amount: float
    other: str  #: the other terminal, of a wiring fault between two
    kind: str  #: in words, without number of the track, terminal and amount
    label: str  #: in words, with all of them; no other fault of the pair has it

    @property
    def group(self) -> str:
        """What is broken, coarsely: "pedal", "throttle", "body", "wiring", …"""
        return "wiring" if self.kind.startswith("wiring") else self.where.split(".")[0]

    def at(self, start: float) -> _core.Fault:
        """The fault from ``start`` [s] to the end of the run."""
        return _core.Fault(
            where=self.where, what=self.what, amount=self.amount, other=self.other, start=start
        )


def single_faults(parameters: _core.BenchParameters, brake: bool = False) -> list[SingleFault]:
    """All single faults of a bench: the catalogue's, without tracks it does not have, and its wiring's; those
    of the brake where there is one.

    Ideal wiring has no faults. A box that somebody has put into the pedal's line is no fault of a part and
    left out.
    """
    pedal, body = parameters.pedal, parameters.body
    present = {"pedal": len(pedal.tracks), "throttle": len(body.tracks)}
    found = []
    for kind in _core.fault_catalogue():
        assembly, _, track = kind.where.partition(".track")
        if (kind.where == "brake" and not brake) or (kind.where == "manifold" and parameters.engine is None):
            continue
        if kind.where == "pedal.line" or kind.what == "lag":
            continue
        if kind.where == "pedal.idle_switch" and not pedal.idle_switch.fitted:
            continue
        if not track or int(track) <= present[assembly]:
            found += [single(kind, amount) for amount in amounts(kind)]
    if parameters.wiring.kind != "ideal":
        found += [_wiring(fault) for fault in _core.every_single_wiring_fault(pedal, body)]
    return found


def _wiring(fault: _core.Fault) -> SingleFault:
    what = WIRING.get(fault.what, fault.what.replace("_", " "))
    kind = f"wiring of {fault.where.split(' ')[0]}: {what}"
    return SingleFault(fault.where, fault.what, fault.amount, fault.other, kind, fault.text)


def amounts(kind: _core.FaultKind) -> list[float]:
    """The representative amounts of a kind, rising; ``[0.0]`` for a kind that takes none."""
    if kind.least >= kind.most:
        return [0.0]
    small = SMALL.get((kind.where, kind.what), SMALL.get(kind.what, ()))
    every = {kind.least, kind.most, *small} - {_IDENTITY.get(kind.what, 0.0)}
    return sorted(amount for amount in every if kind.least <= amount <= kind.most)


def single(kind: _core.FaultKind, amount: float) -> SingleFault:
    """One of the catalogue, with its words."""
    place = kind.where.replace(".", " ").replace("_", " ").replace("track", "track ")
    taken = f" {_amount(kind, amount)}" if kind.least < kind.most else ""
    what = kind.what.replace("_", " ")
    general = f"{place.rstrip('0123456789 ')}: {what}"
    return SingleFault(kind.where, kind.what, amount, "", general, f"{place}: {what}{taken}")


def _amount(kind: _core.FaultKind, amount: float) -> str:
    if kind.what in _IDENTITY:
        return f"× {amount:g}".replace("-", "−")
    scale, unit = _SHOWN.get(kind.unit, (1.0, kind.unit.replace("*", "·")))
    return f"{scale * amount:+g} {unit}".replace("-", "−")
