# SPDX-License-Identifier: BSD-3-Clause
"""Runs cases and turns them into rows."""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import pyarrow as pa

from .. import _core
from ..errors import InputError
from ..idle import table as idle_table
from ..pairing import fault_effects, outcome
from ..rulebooks import rulebook
from . import engines
from .apply import Draw
from .plan import Plan
from .tolerance import Tolerance

#: Asked before each case; the rest is left when it says yes.
Stop = Callable[[], bool]

_PLUGGED = ("pedal", "body", "learn", "learned_pedal", "learned_body", "mistake", "fault")


def run_cases(plan: Plan, numbers: Sequence[int], draws: Sequence[Draw]) -> Iterator[dict[str, Any]]:
    """What became of each case, in order."""
    size = engines.block(plan)
    for begin in range(0, len(numbers), size):
        yield from _block(plan, numbers[begin : begin + size], draws[begin : begin + size])


def _block(plan: Plan, numbers: Sequence[int], draws: Sequence[Draw]) -> Iterator[dict[str, Any]]:
    """Some cases that are handed to an engine together."""
    rows: dict[int, dict[str, Any]] = {}
    jobs, drawn = [], dict(zip(numbers, draws, strict=True))
    for (number, draw), learned in zip(drawn.items(), plan.learns(numbers, draws), strict=True):
        try:
            if isinstance(learned, str):
                raise _core.InvalidParameter(learned)
            jobs.append(engines.Job(number, plan.case(number, draw), learned))
        except _core.InvalidParameter as error:  # values that are allowed alone but not together
            rows[number] = judged(plan, outcome.none("refused", str(error)))
    for job, engine, result in engines.run(plan, jobs):
        faults = plan.faults(job.number, drawn[job.number])
        rows[job.number] = row_of(plan, faults, job.case, job.learned, result) | {"engine": engine}
    yield from (rows[number] for number in numbers)


def row_of(
    plan: Plan, faults: Sequence[_core.Fault], case: _core.Case, learned: Any, result: _core.CaseResult
) -> dict[str, Any]:
    """The outcome of a case as columns."""
    verdicts = []
    if plan.study.rules:
        known = learned.range if learned and learned.accepted else None
        verdicts = rulebook.evaluate(
            result.record, plan.study.rules, parameters=case.parameters, learned=known
        )
    failed = [v.rule for v in verdicts if v.finding == "failed"]
    row = judged(plan, outcome.columns(result, failed))
    if faults:
        start = min(fault.start for fault in faults)
        seen = next((code.confirmed for code in result.codes if code.confirmed >= start), math.nan)
        row["detected_after_s"] = seen - start
        row["effect"] = fault_effects.effect(result.answer, bool(result.codes))
    if result.idle is not None:
        row |= _told(idle_table.columns(result.idle))
    for verdict, rule in zip(verdicts, plan.study.rules, strict=False):
        row[f"rule: {rule.name}"] = verdict.finding
        row[f"margin: {rule.name}"] = math.nan if verdict.margin is None else verdict.margin / rule.scale
    return row


def judged(plan: Plan, row: dict[str, Any]) -> dict[str, Any]:
    """The row with the columns that only some cases fill."""
    extra: dict[str, Any] = {"detected_after_s": math.nan, "effect": "", "engine": ""}
    if plan.study.engine is not None:
        extra |= idle_table.EMPTY
    for rule in plan.study.rules:
        extra |= {f"rule: {rule.name}": "", f"margin: {rule.name}": math.nan}
    return _told(row | extra)


def _told(row: dict[str, Any]) -> dict[str, Any]:
    """Without what is only to be read."""
    return {name: value for name, value in row.items() if not name.endswith("sentence")}


def schema(plan: Plan) -> pa.Schema:
    """Columns of the results: number and seed, what was plugged in, what was drawn, what became of it."""
    fields = [pa.field("case", pa.int64()), pa.field("seed", pa.int64())]
    fields += [pa.field(name, pa.string()) for name in _PLUGGED]
    fields += [pa.field(t.parameter, _type(t)) for t in plan.tolerances]
    for name, value in judged(plan, outcome.none("")).items():
        kind = (
            pa.bool_() if name == "learn_accepted" else pa.float64() if type(value) is float else pa.string()
        )
        fields.append(pa.field(name, kind))
    return pa.schema(fields)


def _type(tolerance: Tolerance) -> pa.DataType:
    sample = tolerance.distribution.reach()[0]
    return {bool: pa.bool_(), int: pa.int64(), str: pa.string()}.get(type(sample), pa.float64())


def run_chunk(plan: Plan, first: int, last: int, stop: Stop, done: Callable[[], None]) -> pa.Table:
    """The cases ``first`` … ``last - 1`` as a table; fewer when ``stop`` says so. ``done`` hears of each."""
    numbers = range(first, last)
    draws = plan.draws(first, last - first)
    rows: list[dict[str, Any]] = []
    outcomes = run_cases(plan, numbers, draws)
    for number, draw in zip(numbers, draws, strict=True):
        if stop():
            break
        rows.append(_head(plan, number) | dict(draw) | next(outcomes))
        done()
    columns = schema(plan)
    arrays = [pa.array([row[field.name] for row in rows], field.type) for field in columns]
    return pa.Table.from_arrays(arrays, schema=columns)


def _head(plan: Plan, number: int) -> dict[str, Any]:
    pairing = plan.pairing(number)
    return {
        "case": number,
        "seed": plan.seed,
        "pedal": pairing.pedal,
        "body": pairing.body,
        "learn": pairing.learn,
        "learned_pedal": pairing.learned_pedal or "",
        "learned_body": pairing.learned_body or "",
        "mistake": pairing.mistake.text if pairing.mistake else "",
        "fault": pairing.fault.text if pairing.fault else "",
    }


def run_remote(text: str, first: int, last: int) -> pa.Table:
    """A chunk on another machine: the plan travels as text."""
    return run_chunk(_plan(text), first, last, lambda: False, lambda: None)


@functools.lru_cache(maxsize=4)
def _plan(text: str) -> Plan:
    values = json.loads(text)
    if values["twintrack"] != _core.__version__:
        raise InputError(
            f"a worker has twintrack {_core.__version__}, the campaign was started with {values['twintrack']}"
        )
    return Plan.from_plain(values["plan"])


def message(plan: Plan) -> str:
    """The text that :func:`run_remote` reads."""
    return json.dumps({"twintrack": _core.__version__, "plan": plan.to_plain()}, allow_nan=False)
