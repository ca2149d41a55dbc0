# SPDX-License-Identifier: BSD-3-Clause
"""Parameters by their dotted name: ``supply``, ``pedal.tracks[1].ratio``, ``faults[1].from``, …"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError, closest, listing

if TYPE_CHECKING:
    from ..studies.study import Study

#: Times of a fault as a file writes them, and what the core calls them.
TIMES = {"from": "start", "to": "end", "ramp": "ramp", "every": "every", "lasting": "lasting"}

#: The instant of each single wiring fault, in a study of all of them.
EVERY_FROM = "faults_from"

_GROUPS = ("struct", "optional struct", "list")

_STEP = re.compile(r"([A-Za-z_]\w*)(?:\[(\d+)\])?")
_FAULT = re.compile(r"faults\[(\d+)\]\.(\w+)")


@dataclass(frozen=True)
class Address:
    """What a name stands for: kind of value, unit, meaning, and the names of a choice."""

    kind: str
    unit: str
    meaning: str
    choices: tuple[str, ...] = ()


def look_up(name: str, study: Study) -> Address:
    """Raises :class:`InputError` when there is no such parameter, or when it cannot scatter."""
    if name == EVERY_FROM:
        if study.every_fault_from is None:
            raise InputError("there is no study of every single wiring fault here")
        return Address("number", "s", "when each fault comes")
    if name.startswith("faults["):
        return _fault(name, study)
    return _bench(name, study)


def _fault(name: str, study: Study) -> Address:
    match = _FAULT.fullmatch(name)
    known = ("amount", *TIMES)
    if not match or match[2] not in known:
        raise InputError(f"of a fault there are: {listing(f'faults[1].{key}' for key in known)}")
    number = int(match[1])
    if not 1 <= number <= len(study.faults):
        raise InputError(f"there is no such fault; the study has {len(study.faults)}")
    if match[2] in TIMES:
        return Address("number", "s", "time since key-on")
    fault = study.faults[number - 1]
    kinds = {(k.where, k.what): k for k in _core.fault_catalogue()}
    wiring = {k.what: k for k in _core.wiring_fault_kinds()}  # their places are terminals
    kind = wiring.get(fault.what) or kinds[fault.where, fault.what]
    return Address("number", kind.unit, kind.meaning)


def _bench(name: str, study: Study) -> Address:
    cls: Any = _core.BenchParameters
    steps = name.split(".")
    index = None
    for depth, step in enumerate(steps):
        match = _STEP.fullmatch(step)
        word, index = (match[1], match[2]) if match else (step, None)
        fields = {field.name: field for field in cls.fields()}
        if not match or word not in fields:
            raise InputError(
                f"there is no parameter {'.'.join(steps[: depth + 1])}{closest(word, fields)} "
                f"(there are: {listing(fields)})"
            )
        field = fields[word]
        if field.kind == "list" and index is None:
            raise InputError(f"{'.'.join(steps[: depth + 1])} is a list; say which, such as {step}[1]")
        if field.kind == "optional struct" and study.bench.get(word) is None:
            raise InputError(f"the study has no {word}")
        if field.kind in _GROUPS and depth + 1 < len(steps):
            cls = getattr(_core, field.struct)
            continue
        if depth + 1 < len(steps):
            raise InputError(f"{'.'.join(steps[: depth + 1])} has no parts")
    return _scattering(name, field, index is not None)


def _scattering(name: str, field: Any, element: bool) -> Address:
    if name in ("seed", "case_number"):
        raise InputError("is what the noise of each case is made from, and is set case by case")
    if field.kind in _GROUPS:
        inside = listing(f.name for f in getattr(_core, field.struct).fields())
        raise InputError(f"is a group of parameters; name one of them ({inside})")
    if field.kind == "text":
        raise InputError("is text, which does not scatter")
    kind = "number" if field.kind == "optional number" or element else field.kind
    return Address(kind, field.unit, field.meaning, tuple(field.choices or ()))


def value_at(values: Mapping[str, Any], name: str) -> Any:
    """The value a dotted name has in nested plain values."""
    found: Any = values
    for word, index in _STEP.findall(name):
        found = found[word]
        if index and not 1 <= int(index) <= len(found):
            raise InputError(f"{name}: no such entry; there are {len(found)}")
        found = found[int(index) - 1] if index else found
    return found


def changed_fault(fault: _core.Fault, **changes: Any) -> _core.Fault:
    """A changed copy."""
    return _core.Fault(**{**fault_values(fault), **changes})


def fault_values(fault: _core.Fault) -> dict[str, Any]:
    """The constructor's arguments."""
    names = ("where", "what", "amount", "start", "end", "ramp", "other", "every", "lasting")
    return {name: getattr(fault, name) for name in names}
