# SPDX-License-Identifier: BSD-3-Clause
"""A study as plain values and back: what a results folder remembers and what travels to other machines."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from .. import _core
from ..studies.disturbed_learns import DisturbedLearn, LearnDisturbance
from ..studies.own_controller import OwnController
from ..studies.study import Study
from ..tolerances.address import fault_values

_RULE = ("name", "set", "source", "clause", "sentence", "basis", "unit", "scale", "unseen")


def study_to_plain(study: Study) -> dict[str, Any]:
    """Nested dicts, lists, texts and numbers, fit for JSON; floats keep their bits."""
    return {
        "title": study.title,
        "path": str(study.path),
        "pedals": {name: pedal.to_dict() for name, pedal in study.pedals.items()},
        "bodies": {name: body.to_dict() for name, body in study.bodies.items()},
        "learn": [state if isinstance(state, str) else asdict(state) for state in study.learn],
        "bench": {k: v.to_dict() if hasattr(v, "to_dict") else v for k, v in study.bench.items()},
        "stroke": _stroke_to_plain(study.stroke),
        "brake": _stroke_to_plain(study.brake) if study.brake else None,
        "faults": [fault_values(fault) for fault in study.faults],
        "rules": [_rule_to_plain(rule) for rule in study.rules],
        "every_fault_from": study.every_fault_from,
        "hazard": study.hazard,
    } | ({"units": {role: unit.plain() for role, unit in study.units.items()}} if study.units else {})


def study_from_plain(values: dict[str, Any]) -> Study:
    """The inverse of :func:`study_to_plain`."""
    structs = {field.name: field.struct for field in _core.BenchParameters.fields()}
    return Study(
        title=values["title"],
        path=Path(values["path"]),
        pedals={name: _core.PedalParameters.from_dict(v) for name, v in values["pedals"].items()},
        bodies={name: _core.ThrottleBodyParameters.from_dict(v) for name, v in values["bodies"].items()},
        learn=tuple(s if isinstance(s, str) else _disturbed_learn_from_plain(s) for s in values["learn"]),
        bench={
            name: getattr(_core, structs[name]).from_dict(value) if isinstance(value, dict) else value
            for name, value in values["bench"].items()
        },
        stroke=_core.Stroke(**values["stroke"]),
        faults=tuple(_core.Fault(**fault) for fault in values["faults"]),
        rules=tuple(_rule_from_plain(rule) for rule in values["rules"]),
        brake=_core.Stroke(**values["brake"]) if values["brake"] else None,
        every_fault_from=values["every_fault_from"],
        hazard=tuple(values["hazard"]),
        units={role: OwnController(**unit, role=role) for role, unit in values.get("units", {}).items()},
    )


def _stroke_to_plain(stroke: _core.Stroke) -> dict[str, list[float]]:
    return {"time": list(stroke.time), "travel": list(stroke.travel)}


def _disturbed_learn_from_plain(values: dict[str, Any]) -> DisturbedLearn:
    disturbances = tuple(LearnDisturbance(*disturbance) for disturbance in values["disturbances"])
    return DisturbedLearn(disturbances, values["limits"], values["stays"])


def _rule_to_plain(rule: _core.Rule) -> dict[str, Any]:
    texts = {name: getattr(rule, name) for name in _RULE}
    formulas = {name: _formula_to_plain(getattr(rule, name)) for name in ("applies", "requires")}
    return texts | formulas


def _rule_from_plain(values: dict[str, Any]) -> _core.Rule:
    formulas = {name: _formula_from_plain(values[name]) for name in ("applies", "requires")}
    return _core.Rule(**{**values, **formulas})


def _formula_to_plain(formula: _core.Formula) -> dict[str, Any]:
    names = ("what", "value", "left", "relation", "right", "absolute", "start", "end")
    return {name: getattr(formula, name) for name in names} | {
        "parts": [_formula_to_plain(part) for part in formula.parts]
    }


def _formula_from_plain(values: dict[str, Any]) -> _core.Formula:
    if values["what"] == "truth":
        return _core.Formula.truth(values["value"])
    if values["what"] == "comparison":
        left, right = (([tuple(t) for t in terms], constant) for terms, constant in
                       (values["left"], values["right"]))  # fmt: skip
        return _core.Formula.compare(left, values["relation"], right, absolute=values["absolute"])
    parts = [_formula_from_plain(part) for part in values["parts"]]
    return _core.Formula.join(values["what"], parts, start=values["start"], end=values["end"])
