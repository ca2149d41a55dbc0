# SPDX-License-Identifier: BSD-3-Clause
"""Which parameters of a study scatter, and how: the tables ``[tolerances]``, ``[[correlated]]``,
``[sampling]``.

[tolerances]
supply = { uniform = ["11 V", "14.5 V"] }
"pedal.tracks[1].ratio" = { normal = [1.0, "0.5 %"], as = "factor", after_learn = true }
"faults[1].amount" = { normal = [0.04, 0.02], least = 0.0, most = 0.1 }
"body.tracks[1].kind" = { values = ["potentiometer", "hall"], weights = [3, 1] }
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ..errors import InputError, closest, listing
from ..files.toml_file import Place, TomlFile
from ..studies.study import Study
from ..units import quantity
from .address import Address, look_up
from .distribution import Choice, Distribution, Normal, Uniform

#: What becomes of a drawn value: it is the parameter, multiplies its own value, or is added to it.
WAYS = ("value", "factor", "offset")

_SHAPES = ("uniform", "normal", "values")
_KEYS = [*_SHAPES, "weights", "least", "most", "as", "after_learn"]


@dataclass(frozen=True)
class Tolerance:
    """One parameter and how it scatters; ``after_learn``: the range learn saw the part's own value."""

    parameter: str
    distribution: Distribution
    way: str = "value"
    after_learn: bool = False


def from_file(file: TomlFile, study: Study) -> tuple[Tolerance, ...]:
    """The tolerances in the order of the file; raises :class:`InputError` with file, line and key."""
    table = file.table.get("tolerances", {})
    if not isinstance(table, dict):
        file.fail(("tolerances",), "must be a table ([tolerances])", table)
    found = [_tolerance(file, study, *entry) for entry in _entries(file, ("tolerances",), table)]
    for i, tolerance in enumerate(found):
        if any(other.parameter == tolerance.parameter for other in found[:i]):
            file.fail(("tolerances", tolerance.parameter), "is given twice")
    return tuple(found)


def _entries(
    file: TomlFile, place: Place, table: dict[str, Any]
) -> Iterator[tuple[Place, str, dict[str, Any]]]:
    """Place, dotted name and table of each tolerance; bare dotted keys are tables within tables in TOML."""
    for key, value in table.items():
        here = (*place, key)
        if not isinstance(value, dict):
            file.fail(here, "must be a distribution, such as { uniform = [low, high] }", value)
        if any(name in value for name in _KEYS) or not any(isinstance(v, dict) for v in value.values()):
            yield here, ".".join(map(str, here[1:])), value
        else:
            yield from _entries(file, here, value)


def _tolerance(file: TomlFile, study: Study, place: Place, name: str, table: dict[str, Any]) -> Tolerance:
    try:
        address = look_up(name, study)
    except InputError as error:
        file.fail(place, str(error))
    file.only(place, table, _KEYS)
    way = table.get("as", "value")
    if way not in WAYS:
        file.fail((*place, "as"), f"must be one of {listing(WAYS)}{closest(str(way), WAYS)}", way)
    after = table.get("after_learn", False)
    if not isinstance(after, bool):
        file.fail((*place, "after_learn"), "must be true or false", after)
    if after and name.startswith("fault"):
        file.fail((*place, "after_learn"), "has no effect here: a fault is always absent from the learn")
    return Tolerance(name, _Reader(file, place, table, address, way).distribution(), way, after)


@dataclass(frozen=True)
class _Reader:
    """Reads one distribution in the unit of its parameter."""

    file: TomlFile
    place: Place
    table: dict[str, Any]
    address: Address
    way: str

    def distribution(self) -> Distribution:
        shapes = [shape for shape in _SHAPES if shape in self.table]
        if len(shapes) != 1:
            self.file.fail(self.place, f"must have one of {listing(_SHAPES)}")
        shape = shapes[0]
        for key in ("weights",) if shape != "values" else ("least", "most"):
            if key in self.table:
                self.file.fail((*self.place, key), f"does not go with {shape!r}", self.table[key])
        return self._choice() if shape == "values" else self._range(shape)

    def _range(self, shape: str) -> Distribution:
        if self.address.kind not in ("number", "numbers"):
            self.file.fail(self.place, f"{self._name()} is no real number; give the 'values' it can have")
        pair = self.table[shape]
        words = {"uniform": "[least, most]", "normal": "[mean, standard deviation]"}[shape]
        if not isinstance(pair, list) or len(pair) != 2:
            self.file.fail((*self.place, shape), f"must be a list of two, {words}", pair)
        first, second = (self._number((*self.place, shape), value) for value in pair)
        if shape == "uniform":
            for key in ("least", "most"):
                if key in self.table:
                    self.file.fail((*self.place, key), "does not go with 'uniform'", self.table[key])
            if not first < second:
                self.file.fail((*self.place, shape), "the least must be below the most", pair)
            return Uniform(first, second)
        return self._normal(first, second)

    def _normal(self, mean: float, deviation: float) -> Normal:
        if deviation <= 0:
            self.file.fail((*self.place, "normal"), "the standard deviation must be above 0")
        ends = [
            self._number((*self.place, key), self.table[key]) if key in self.table else None
            for key in ("least", "most")
        ]
        if ends[0] is not None and ends[1] is not None and not ends[0] < ends[1]:
            self.file.fail((*self.place, "least"), "must be below 'most'", self.table["least"])
        normal = Normal(mean, deviation, *ends)
        if any(end is not None and abs(end - mean) > 8 * deviation for end in ends) and not (
            (ends[0] is None or ends[0] < mean) and (ends[1] is None or ends[1] > mean)
        ):
            self.file.fail((*self.place, "normal"), "'least' and 'most' leave nothing within 8 deviations")
        return normal

    def _choice(self) -> Choice:
        values = self.table["values"]
        if not isinstance(values, list) or not values:
            self.file.fail((*self.place, "values"), "must be a list, not empty", values)
        read = tuple(self._value(value) for value in values)
        weights = self.table.get("weights", [1] * len(read))
        if (
            not isinstance(weights, list)
            or len(weights) != len(read)
            or not all(type(w) in (int, float) and 0 <= w < float("inf") for w in weights)
            or sum(weights) <= 0
        ):
            self.file.fail((*self.place, "weights"), f"must be {len(read)} numbers from 0 up, not all 0")
        return Choice(read, tuple(weight / sum(weights) for weight in weights))

    def _value(self, value: Any) -> Any:
        place, kind = (*self.place, "values"), self.address.kind
        if kind in ("number", "numbers"):
            return self._number(place, value)
        if self.way != "value":
            self.file.fail((*self.place, "as"), f"{self._name()} is no real number", self.way)
        if kind == "choice" and value not in self.address.choices:
            known = self.address.choices
            self.file.fail(place, f"{value!r} is none of {listing(known)}{closest(str(value), known)}")
        wanted = {"flag": bool, "integer": int}.get(kind)
        if wanted is not None and type(value) is not wanted:
            self.file.fail(
                place, f"{value!r} is no {'flag (true or false)' if wanted is bool else 'whole number'}"
            )
        return value

    def _number(self, place: Place, value: Any) -> float:
        unit = "" if self.way == "factor" else self.address.unit
        if self.way == "offset" and unit == "degC":
            unit = "K"
            if "deg" in str(value):
                self.file.fail(place, "a difference of temperatures is given in K, such as '5 K'", value)
        try:
            return quantity(value, unit)
        except InputError as error:
            self.file.fail(place, f"{error} ({self.address.meaning})", value)

    def _name(self) -> str:
        return ".".join(map(str, self.place[1:]))
