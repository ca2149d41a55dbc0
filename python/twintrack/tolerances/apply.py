# SPDX-License-Identifier: BSD-3-Clause
"""One case from a pair and the values drawn for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import Any

from .. import _core
from ..studies.study import Study
from .address import EVERY_FROM, TIMES, changed_fault, fault_values, value_at
from .tolerance import Tolerance

#: Drawn values by name of the parameter.
Draw = Mapping[str, Any]

#: A tolerance of this name makes all faults of a case milder or worse: a power of two of their amount, of
#: four where it is a resistance; a gain or scale is one plus that.
SEVERITY = "fault severity"

#: How names of parameters begin that a range learn does not see.
OF_RUN = ("fault", "foot")

_RESISTANCES = ("series", "leak", "short_to_ground", "short_to_battery", "short_to")


@dataclass(frozen=True)
class Own:
    """A bench before anything scatters, and the same as plain values, made once for many cases."""

    bench: _core.BenchParameters

    @cached_property
    def values(self) -> dict[str, Any]:
        return self.bench.to_dict()

    @staticmethod
    def of(bench: _core.BenchParameters) -> Own:
        return Own(bench)


def case_of(
    design: Any,
    spec: Any,
    own: Own,
    noise: int,
    tolerances: Sequence[Tolerance],
    draw: Draw,
    learning: bool = False,
) -> _core.Case:
    """The case as the core runs it; or, ``learning``, as it was when the range learn was run.

    Raises :class:`InvalidParameter` when the values do not go together.
    """
    changes: dict[str, Any] = {"case_number": noise}
    for t in tolerances:
        if t.parameter.startswith(OF_RUN) or (learning and t.after_learn):
            continue
        drawn = draw[t.parameter]
        changes[t.parameter] = (
            drawn if t.way == "value" else combined(value_at(own.values, t.parameter), t.way, drawn)
        )
    study: Study = design.study
    faults = () if learning else design.faults_drawn(faults_of(study, spec, tolerances, draw), draw)
    pairing = spec.pairing
    if learning and pairing.disturbed_learn:  # what is left of a disturbance is no matter of the learn
        pairing = replace(pairing, disturbed_learn=replace(pairing.disturbed_learn, stays=False))
    return study.case(
        *(pairing, noise, own.bench.replace(changes), faults),
        stroke=design.stroke_drawn(draw),
        hazard=design.hazard,
    )


def combined(own: Any, way: str, drawn: Any) -> Any:
    """The parameter's value; of a list of numbers each is multiplied or moved."""
    if way == "value":
        return drawn
    if isinstance(own, list):
        return [combined(number, way, drawn) for number in own]
    return own * drawn if way == "factor" else own + drawn


def faults_of(
    study: Study, spec: Any, tolerances: Sequence[Tolerance], draw: Draw
) -> tuple[_core.Fault, ...]:
    """The faults of one case, with what was drawn for them."""
    faults = list(study.faults if spec.faults is None else spec.faults)
    for t in tolerances:
        if t.parameter.startswith("faults["):
            index, key = t.parameter.removeprefix("faults[").split("].")
            fault, name = faults[int(index) - 1], TIMES.get(key, key)
            own = fault_values(fault)[name]
            value = combined(0.0 if own is None else own, t.way, draw[t.parameter])
            faults[int(index) - 1] = changed_fault(fault, **{name: value})
    if SEVERITY in draw:
        faults = [severe(fault, float(draw[SEVERITY])) for fault in faults]
    if spec.pairing.fault is None:
        return tuple(faults)
    starts = [
        combined(study.every_fault_from, t.way, draw[EVERY_FROM])
        for t in tolerances
        if t.parameter == EVERY_FROM
    ]
    fault = spec.pairing.fault
    return (*faults, changed_fault(fault, start=starts[0]) if starts else fault)


def severe(fault: _core.Fault, severity: float) -> _core.Fault:
    """The fault with another amount, held to what is allowed; one that takes no amount, or is broken, as it
    is."""
    if fault.what in _RESISTANCES:
        return changed_fault(fault, amount=fault.amount * 4.0**severity)
    none = 1.0 if fault.what in ("gain", "scale") else 0.0
    if fault.amount in (0.0, none):
        return fault
    least, most = _ranges().get((fault.where, fault.what), (-10.0, 10.0))
    amount = none + (fault.amount - none) * 2.0**severity
    return changed_fault(fault, amount=min(max(amount, least), most))


@cache
def _ranges() -> dict[tuple[str, str], tuple[float, float]]:
    return {(kind.where, kind.what): (kind.least, kind.most) for kind in _core.fault_catalogue()}
