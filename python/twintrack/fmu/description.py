# SPDX-License-Identifier: BSD-3-Clause
"""modelDescription.xml of FMI 2.0 and 3.0 from the list of variables that the core gives.

A variable's value reference is its place in that list. After the last one come, in FMI 3, the clock of the
control ticks and the time. Literature: Modelica Association, FMI 2.0.4 and 3.0.2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree as xml

from .. import __version__
from .units import base_unit

#: Of the shared object inside, and of the functions' owner.
IDENTIFIER = "twintrack"

_TYPES = {
    2: {"number": "Real", "integer": "Integer", "flag": "Boolean", "text": "String", "choice": "Enumeration"},
    3: {
        "number": "Float64",
        "integer": "Int32",
        "flag": "Boolean",
        "text": "String",
        "choice": "Enumeration",
    },
}


@dataclass(frozen=True)
class Model:
    """What a description says; ``stop`` and ``period`` in s."""

    name: str
    meaning: str
    token: str
    variables: list[dict[str, Any]]
    stop: float
    period: float

    @property
    def units(self) -> list[str]:
        return sorted({v["unit"] for v in self.variables if v["unit"]})

    @property
    def enumerations(self) -> dict[tuple[str, ...], str]:
        """A name for each set of choices, after the first variable that has it."""
        found: dict[tuple[str, ...], str] = {}
        for v in self.variables:
            if v["kind"] == "choice":
                name = v["name"].rsplit(".", 1)[-1]
                taken = set(found.values())
                found.setdefault(
                    tuple(v["choices"]), f"choices of {name}{len(found) if name in taken else ''}"
                )
        return found


def description(model: Model, version: int) -> bytes:
    """The file's text."""
    root = xml.Element(
        "fmiModelDescription",
        {
            "fmiVersion": f"{version}.0",
            "modelName": model.name,
            {2: "guid", 3: "instantiationToken"}[version]: model.token,
            "description": model.meaning,
            "generationTool": f"twintrack {__version__}",
            "variableNamingConvention": "structured",
        },
    )
    _co_simulation(root, model, version)
    _unit_definitions(root, model)
    _type_definitions(root, model, version)
    categories = xml.SubElement(root, "LogCategories")
    xml.SubElement(categories, "Category", name="logStatusError", description="why a call has failed")
    xml.SubElement(
        root, "DefaultExperiment", startTime="0", stopTime=repr(model.stop), stepSize=repr(model.period)
    )
    variables = xml.SubElement(root, "ModelVariables")
    for reference, v in enumerate(model.variables):
        _variable(variables, v, reference, model, version)
    if version == 3:
        _clock_and_time(variables, len(model.variables))
    _structure(root, model, version)
    xml.indent(root, " ")
    text: bytes = xml.tostring(root, encoding="UTF-8", xml_declaration=True)
    return text + b"\n"


def _co_simulation(root: xml.Element, model: Model, version: int) -> None:
    common = {"modelIdentifier": IDENTIFIER, "canHandleVariableCommunicationStepSize": "true"}
    own = {
        2: {"canGetAndSetFMUstate": "true"},
        3: {
            "canGetAndSetFMUState": "true",
            "hasEventMode": "true",
            "fixedInternalStepSize": repr(model.period),
        },
    }
    xml.SubElement(root, "CoSimulation", common | own[version])


def _unit_definitions(root: xml.Element, model: Model) -> None:
    if not model.units:
        return
    units = xml.SubElement(root, "UnitDefinitions")
    for unit in model.units:
        xml.SubElement(xml.SubElement(units, "Unit", name=unit), "BaseUnit", base_unit(unit))


def _type_definitions(root: xml.Element, model: Model, version: int) -> None:
    if not model.enumerations:
        return
    types = xml.SubElement(root, "TypeDefinitions")
    for choices, name in model.enumerations.items():
        if version == 2:
            holder = xml.SubElement(xml.SubElement(types, "SimpleType", name=name), "Enumeration")
        else:
            holder = xml.SubElement(types, "EnumerationType", name=name)
        for number, choice in enumerate(choices, 1):
            xml.SubElement(holder, "Item", name=choice, value=str(number))


def _variability(v: dict[str, Any]) -> str:
    if v["role"] in ("parameter", "tunable"):
        return "fixed" if v["role"] == "parameter" else "tunable"
    return "continuous" if v["kind"] == "number" and v["role"] == "input" else "discrete"


def _variable(variables: xml.Element, v: dict[str, Any], reference: int, model: Model, version: int) -> None:
    causality = "parameter" if v["role"] in ("parameter", "tunable") else v["role"]
    head = {
        "name": v["name"],
        "valueReference": str(reference),
        "causality": causality,
        "variability": _variability(v),
    }
    if v["meaning"]:
        head["description"] = v["meaning"]
    if causality == "output":
        head["initial"] = "calculated"
    value = _value(v, model) if causality != "output" else _value(v | {"start": None}, model)
    kind = _TYPES[version][v["kind"]]
    if version == 2:
        xml.SubElement(xml.SubElement(variables, "ScalarVariable", head), kind, value)
        return
    start = value.pop("start", None) if v["kind"] == "text" else None
    made = xml.SubElement(variables, kind, head | value)
    if start is not None:
        xml.SubElement(made, "Start", value=start)


def _value(v: dict[str, Any], model: Model) -> dict[str, str]:
    """Unit, range and start value as attributes."""
    found = {}
    if v["kind"] == "choice":
        found["declaredType"] = model.enumerations[tuple(v["choices"])]
    elif v["kind"] == "number" and v["unit"]:
        found["unit"] = v["unit"]
    if v["kind"] in ("number", "integer"):
        limits = {"min": v["least"], "max": v["most"]}
        found |= {k: _text(x, v["kind"]) for k, x in limits.items() if math.isfinite(x)}
    if v["start"] is not None:
        found["start"] = _text(v["start"], v["kind"])
    return found


def _text(value: Any, kind: str) -> str:
    if kind == "text":
        return str(value)
    if kind == "flag":
        return "true" if value else "false"
    if kind == "number":
        return repr(value)
    return str(int(value) + (kind == "choice"))


def _clock_and_time(variables: xml.Element, count: int) -> None:
    xml.SubElement(
        variables,
        "Clock",
        name="control_tick",
        valueReference=str(count),
        causality="output",
        variability="discrete",
        intervalVariability="triggered",
        description="ticks when the controller does; what is set at that event counts at the tick",
    )
    xml.SubElement(
        variables,
        "Float64",
        name="time",
        valueReference=str(count + 1),
        causality="independent",
        variability="continuous",
        unit="s",
    )


def _structure(root: xml.Element, model: Model, version: int) -> None:
    structure = xml.SubElement(root, "ModelStructure")
    outputs = [k for k, v in enumerate(model.variables) if v["role"] == "output"]
    if version == 2:
        for name in ("Outputs", "InitialUnknowns"):
            holder = xml.SubElement(structure, name)
            for k in outputs:
                xml.SubElement(holder, "Unknown", index=str(k + 1))
        return
    for k in [*outputs, len(model.variables)]:
        xml.SubElement(structure, "Output", valueReference=str(k))
    for k in [*outputs, len(model.variables)]:
        xml.SubElement(structure, "InitialUnknown", valueReference=str(k))
