# SPDX-License-Identifier: BSD-3-Clause
"""What is exported, as plain values that JSON can hold: twintrack/external/document.hpp reads them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from .. import _core
from ..bench import Bench
from ..designs.audit import faults as single
from ..errors import InputError

KINDS = ("bench", "plant", "controller")


def document(
    bench: _core.BenchParameters,
    *,
    kind: str = "bench",
    learned: _core.LearnedRange | None = None,
    stroke: _core.Stroke | None = None,
    brake: _core.Stroke | None = None,
    faults: Sequence[_core.Fault] = (),
) -> dict[str, Any]:
    """Of a bench and what is asked of it; every single fault of the pair becomes a switch."""
    if kind not in KINDS:
        raise InputError(f"kind {kind!r}: allowed are {', '.join(KINDS)}")
    stroke = _core.Stroke.rest_half_full_rest() if stroke is None else stroke
    return {
        "kind": kind,
        "bench": bench.to_dict(),
        "learned": "none" if learned is None else learned.to_dict(),
        "stroke": _stroke(stroke),
        "brake": None if brake is None else _stroke(brake),
        "faults": [] if kind == "controller" else [_fault(f) for f in faults],
        "switches": [] if kind == "controller" else _switches(bench, brake is not None),
    }


def of_bench(bench: Bench, kind: str, stroke: _core.Stroke | None = None) -> dict[str, Any]:
    """Of a :class:`Bench` with what it has learned."""
    return document(bench.parameters, kind=kind, learned=bench.learned, stroke=stroke)


def of_study(study: str | Path, kind: str, case: int = 0) -> dict[str, Any]:
    """Of one case of a study file, after the range learn that the case asks for. Raises
    :class:`InputError`."""
    from ..experiments.learns import Learns
    from ..experiments.plan import load

    plan = load(study, "exact")
    if not 0 <= case < plan.cases:
        raise InputError(f"case {case}: the study has {plan.cases} cases, counted from 0")
    draw = plan.draws(case, 1)[0]
    made = plan.case(case, draw)
    learn = Learns(plan).of([case], [draw])[0]
    if isinstance(learn, str):
        raise InputError(f"case {case} was refused: {learn}")
    return document(
        made.parameters,
        kind=kind,
        learned=None if learn is None else learn.range,
        stroke=made.stroke,
        brake=plan.study.brake,
        faults=made.faults_of_run,
    )


def _stroke(stroke: _core.Stroke) -> dict[str, Any]:
    return {"time": list(stroke.time), "travel": list(stroke.travel)}


def _fault(fault: _core.Fault) -> dict[str, Any]:
    keys = ("where", "what", "other", "amount", "start", "end", "ramp", "every", "lasting")
    return {key: getattr(fault, key) for key in keys}


def _switches(bench: _core.BenchParameters, brake: bool) -> list[dict[str, Any]]:
    """One a kind and place, with an amount that is small or else the worst."""
    found: dict[tuple[str, str, str], dict[str, Any]] = {}
    for fault in single.single_faults(bench, brake):
        small = single.SMALL.get((fault.where, fault.what), single.SMALL.get(fault.what, ()))
        key = fault.where, fault.what, fault.other
        if key in found and fault.amount not in small:
            continue
        found[key] = {
            "name": _name(*key),
            "where": fault.where,
            "what": fault.what,
            "other": fault.other,
            "amount": fault.amount,
        }
    return list(found.values())


def _name(where: str, what: str, other: str) -> str:
    """In the standard's structured naming: what is no identifier stands between single quotes."""
    place = f"{where} - {other}" if other else where
    parts = [place] if " " in place else place.split(".")
    return ".".join(p if re.fullmatch(r"[A-Za-z_]\w*", p) else f"'{p}'" for p in [*parts, what])
