# SPDX-License-Identifier: BSD-3-Clause
"""The causes of a diagnosis: every single fault of a pair, learns that went wrong, wrong parts."""

from __future__ import annotations

from typing import Any

from ... import _core
from ...studies.disturbed_learns import DisturbedLearn, LearnDisturbance
from ...studies.study import Pairing, Study
from ..audit.faults import single
from ..design import Spec

#: How much of each fault of the catalogue is in the dictionary: (place, what) → amounts. This bench's own.
AMOUNTS: dict[tuple[str, str], tuple[float, ...]] = {
    ("track", "offset"): (-0.06, 0.06),
    ("track", "gain"): (0.85, 1.15),
    ("track", "frozen"): (0.0,),
    ("body.return_spring", "scale"): (0.0,),
    ("body.opener_spring", "scale"): (0.0,),
    ("body.friction", "scale"): (6.0,),
    ("body.closed_stop", "shift"): (0.07,),
    ("body.open_stop", "shift"): (-0.2,),
    ("motor", "heat"): (80.0,),
    ("supply", "scale"): (0.75,),
    ("reference", "scale"): (0.9, 1.1),
    ("manifold", "vacuum_leak"): (40e-6,),
}

#: Learns that went wrong and may have been accepted.
LEARNS = (
    LearnDisturbance("pressed_short", 0.7),
    LearnDisturbance("foot_resting", 0.1),
    LearnDisturbance("floor_mat", 0.7),
    LearnDisturbance("deposits", 0.06),
)


def fits(part: Any, other: Any) -> bool:
    """Another part whose connector has the same contacts."""
    return bool(part.terminals() == other.terminals() and part.name != other.name)


def causes(study: Study, bench: _core.BenchParameters, pair: tuple[str, str]) -> list[Spec]:
    """One case a cause, "healthy" first; labels: cause, kind, family."""
    fresh = Pairing(*pair, "fresh", *pair)
    found = [_spec(fresh, "healthy", "healthy", "healthy")]
    for fault, cause, kind, family in _faults(bench):
        found.append(_spec(fresh, cause, kind, family, (fault,)))
    found.append(_spec(Pairing(*pair, "none", None, None), "no range learned", "no range learned", "learn"))
    for disturbance in LEARNS:
        faulty = Pairing(*pair, "faulty", *pair, disturbed_learn=DisturbedLearn((disturbance,)))
        found.append(_spec(faulty, f"learned with {disturbance.text}", f"learn: {disturbance.name}", "learn"))
    pedal, body = study.pedals[pair[0]], study.bodies[pair[1]]
    for name in [n for n, part in study.pedals.items() if fits(pedal, part)]:
        stale = Pairing(name, pair[1], "stale", *pair)
        found.append(_spec(stale, f"pedal '{name}' is plugged in", "another pedal", "part"))
    for name in [n for n, part in study.bodies.items() if fits(body, part)]:
        stale = Pairing(pair[0], name, "stale", *pair)
        found.append(_spec(stale, f"throttle body '{name}' is plugged in", "another throttle body", "part"))
    return found


def _spec(pairing: Pairing, cause: str, kind: str, family: str, faults: tuple[_core.Fault, ...] = ()) -> Spec:
    return Spec(pairing, {"cause": cause, "kind": kind, "family": family}, faults, noise=0)


def both(a: Spec, b: Spec) -> Spec | None:
    """Two faults together; ``None`` for two at one place, which cannot be."""
    places = [(fault.where, fault.what) for fault in (*(a.faults or ()), *(b.faults or ()))]
    if a.pairing != b.pairing or not a.faults or not b.faults or len(set(places)) < 2:
        return None
    labels = {
        "cause": f"{a.labels['cause']} and {b.labels['cause']}",
        "kind": "two faults",
        "family": "two faults",
    }
    return Spec(a.pairing, labels, (*a.faults, *b.faults), noise=0)


def _faults(bench: _core.BenchParameters) -> list[tuple[_core.Fault, str, str, str]]:
    """(fault from key-on, cause, kind, family) of each fault a bench can have."""
    tracks = {"pedal": len(bench.pedal.tracks), "throttle": len(bench.body.tracks)}
    found = []
    for kind in _core.fault_catalogue():
        assembly, _, track = kind.where.partition(".track")
        place = "track" if track else kind.where
        if (track and int(track) > tracks[assembly]) or (kind.where == "manifold" and bench.engine is None):
            continue
        family = "track" if track else "mechanics" if kind.where.startswith(("body", "motor")) else "supply"
        for amount in AMOUNTS.get((place, kind.what), ()):
            one = single(kind, amount)
            found.append((one.at(0.0), one.label, one.kind, family))
    connectors = dict.fromkeys(connector for connector, _ in _core.pair_terminals(bench.pedal, bench.body))
    apart = [_core.Fault(where=connector, what="unplugged") for connector in connectors]
    for fault in [*_core.every_single_wiring_fault(bench.pedal, bench.body), *apart]:
        found.append((fault, fault.text, f"wiring: {fault.what.replace('_', ' ')}", "wiring"))
    return found
