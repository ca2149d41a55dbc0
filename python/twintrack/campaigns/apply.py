# SPDX-License-Identifier: BSD-3-Clause
"""One case from a pair and the values drawn for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .. import _core
from ..study import Pairing, Study
from .address import EVERY_FROM, TIMES, changed_fault, fault_values, value_at
from .tolerance import Tolerance

#: Drawn values by name of the parameter.
Draw = Mapping[str, Any]


def case_of(
    study: Study, pairing: Pairing, number: int, tolerances: Sequence[Tolerance], draw: Draw
) -> _core.Case:
    """The case as the core runs it. Raises :class:`InvalidParameter` when the values do not go together."""
    own = study.parameters(pairing.pedal, pairing.body, number)
    bench = [t for t in tolerances if not t.parameter.startswith("fault")]
    learned = own.replace(_changes(own, [t for t in bench if not t.after_learn], draw))
    after = [t for t in bench if t.after_learn]
    parameters = learned.replace(_changes(own, after, draw)) if after else learned
    learn = pairing.learn
    parts: dict[str, Any] = {"learn_pedal": None, "learn_body": None}
    if learn == "stale":
        before = study.parameters(pairing.learned_pedal or "", pairing.learned_body or "", number)
        parts = {"learn_pedal": before.pedal, "learn_body": before.body}
    if learn == "fresh" and after:  # the same parts, as they were then
        learn, parts = "stale", {"learn_pedal": learned.pedal, "learn_body": learned.body}
    return _core.Case(
        parameters=parameters,
        learn=learn,
        **parts,
        stroke=study.stroke,
        faults=list(faults_of(study, pairing, tolerances, draw)),
    )


def _changes(own: _core.BenchParameters, tolerances: Sequence[Tolerance], draw: Draw) -> dict[str, Any]:
    values = own.to_dict()
    return {
        t.parameter: combined(value_at(values, t.parameter), t.way, draw[t.parameter]) for t in tolerances
    }


def combined(own: Any, way: str, drawn: Any) -> Any:
    """The parameter's value; of a list of numbers each is multiplied or moved."""
    if way == "value":
        return drawn
    if isinstance(own, list):
        return [combined(number, way, drawn) for number in own]
    return own * drawn if way == "factor" else own + drawn


def faults_of(
    study: Study, pairing: Pairing, tolerances: Sequence[Tolerance], draw: Draw
) -> tuple[_core.Fault, ...]:
    """The faults of one case, with what was drawn for them."""
    faults = list(study.faults)
    for t in tolerances:
        if t.parameter.startswith("faults["):
            index, key = t.parameter.removeprefix("faults[").split("].")
            fault, name = faults[int(index) - 1], TIMES.get(key, key)
            own = fault_values(fault)[name]
            value = combined(0.0 if own is None else own, t.way, draw[t.parameter])
            faults[int(index) - 1] = changed_fault(fault, **{name: value})
    if pairing.fault is None:
        return tuple(faults)
    starts = [
        combined(study.every_fault_from, t.way, draw[EVERY_FROM])
        for t in tolerances
        if t.parameter == EVERY_FROM
    ]
    return (*faults, changed_fault(pairing.fault, start=starts[0]) if starts else pairing.fault)
