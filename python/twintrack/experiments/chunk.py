# SPDX-License-Identifier: BSD-3-Clause
"""Runs cases and turns them into rows."""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError
from ..studies import own_controller
from ..tolerances.apply import Draw
from ..tolerances.tolerance import Tolerance
from .learns import Learns
from .plan import Plan

if TYPE_CHECKING:
    import pyarrow as pa

#: Asked before each block of cases; the rest is left when it says yes.
Stop = Callable[[], bool]

#: Cases handed to a solver together.
BLOCKS = {"lanes": 128, "exact": 4}

#: Number of a case, the case, and what was learned before it.
Ready = tuple[int, _core.Case, _core.LearnResult | None]

_PLUGGED = ("pedal", "body", "learn", "learned_pedal", "learned_body", "learn_disturbance", "fault")


class Runner:
    """Runs cases of a plan; one may serve several threads."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.learns = plan, Learns(plan)

    def rows(self, numbers: Sequence[int], draws: Sequence[Draw]) -> list[dict[str, Any]]:
        """What became of each case, in order."""
        plan, design = self.plan, self.plan.design
        found: dict[int, dict[str, Any]] = {}
        ready: list[Ready] = []
        learned = self.learns.of(numbers, draws)
        for number, draw, known in zip(numbers, draws, learned, strict=True):
            try:
                if isinstance(known, str):
                    raise _core.InvalidParameter(known)
                if known is not None and known.refusal == "unit failed":
                    found[number] = plan.empty | {"status": known.refusal, "outcome": known.reason}
                    continue
                done = design.without_run(plan.spec(number), known)
                if done is not None:
                    found[number] = plan.empty | done | {"status": "completed"}
                    continue
                ready.append((number, plan.case(number, draw), known))
            except _core.InvalidParameter as error:  # values that are allowed alone but not together
                found[number] = self._refused(str(error))
        ran = _core.run_batch(
            [case for _, case, _ in ready],
            [known for _, _, known in ready],
            solver=plan.solver,
            rules=list(design.rules),
            judges=[design.judge_of(plan.spec(number), case) for number, case, _ in ready]
            if design.rules
            else [],
            signals=list(design.signals),
            **plan.study.own,
        )
        found |= zip([number for number, _, _ in ready], rows_of(plan, ready, ran), strict=True)
        return [found[number] for number in numbers]

    def _refused(self, why: str) -> dict[str, Any]:
        return self.plan.empty | {"status": "refused", "outcome": why}


def rows_of(plan: Plan, ready: Sequence[Ready], ran: Sequence[_core.Ran]) -> list[dict[str, Any]]:
    """The outcomes of cases as columns."""
    rows = [_row_of(plan, *one, result) for one, result in zip(ready, ran, strict=True)]
    run = [k for k, result in enumerate(ran) if result.result is not None]
    more = plan.design.measure_together([(plan.spec(ready[k][0]), ready[k][1]) for k in run])
    for k, columns in zip(run, more, strict=True):
        rows[k] |= columns
    return rows


def _row_of(plan: Plan, number: int, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
    if ran.result is None:
        return plan.empty | {"status": "refused", "outcome": ran.refused}
    design, result = plan.design, ran.result
    row = design.measure(plan.spec(number), case, learned, ran)
    verdicts, rules = [*row.pop("verdicts", ()), *ran.verdicts], [*design.more_rules, *design.rules]
    row = plan.empty | row
    row |= {"solver": ran.solver, "status": result.outcome.status, "outcome": result.outcome.reason}
    row["rules_failed"] = "; ".join([v.rule for v in verdicts if v.finding == "failed"])
    for verdict, rule in zip(verdicts, rules if verdicts else (), strict=True):
        row[f"rule: {rule.name}"] = verdict.finding
        row[f"margin: {rule.name}"] = math.nan if verdict.margin is None else verdict.margin / rule.scale
        row[f"when: {rule.name}"] = math.nan if verdict.when is None else verdict.when
    return row


def schema(plan: Plan) -> pa.Schema:
    """Columns of the results: number and seed, what was plugged in, what the design varies, what was drawn,
    what became of it."""
    import pyarrow as pa

    fields = [pa.field("case", pa.int64()), pa.field("seed", pa.int64())]
    fields += [pa.field(name, pa.string()) for name in _PLUGGED]
    fields += [pa.field(name, _kind(name, value)) for name, value in plan.design.columns.items()]
    fields += [pa.field(t.parameter, _type(t)) for t in plan.tolerances]
    fields += [pa.field(name, _kind(name, value)) for name, value in plan.empty.items()]
    return pa.schema(fields)


def _kind(name: str, value: Any) -> pa.DataType:
    import pyarrow as pa

    if name == "learn_accepted" or type(value) is bool:
        return pa.bool_()
    return {float: pa.float64(), int: pa.int64()}.get(type(value), pa.string())


def _type(tolerance: Tolerance) -> pa.DataType:
    import pyarrow as pa

    sample = tolerance.distribution.reach()[0]
    return {bool: pa.bool_(), int: pa.int64(), str: pa.string()}.get(type(sample), pa.float64())


def run_chunk(runner: Runner, first: int, last: int, stop: Stop, done: Callable[[int], Any]) -> pa.Table:
    """The cases ``first`` … ``last - 1`` as a table; fewer when ``stop`` says so. ``done`` hears how many are
    finished."""
    plan = runner.plan
    columns = schema(plan)
    cells: dict[str, list[Any]] = _cells(columns)
    size = BLOCKS[plan.solver]
    for begin in range(first, last, size):
        if stop():
            break
        numbers = range(begin, min(begin + size, last))
        draws = plan.draws(begin, len(numbers))
        for number, draw, row in zip(numbers, draws, runner.rows(numbers, draws), strict=True):
            if row["status"] == "interrupted":
                return _table(cells, columns)
            _append(cells, plan, number, draw, row)
        done(len(numbers))
    return _table(cells, columns)


def _cells(columns: pa.Schema) -> dict[str, list[Any]]:
    return {name: [] for name in columns.names}


def _append(cells: dict[str, list[Any]], plan: Plan, number: int, draw: Draw, row: dict[str, Any]) -> None:
    whole = row | {**_head(plan, number), **draw}
    for name, column in cells.items():
        column.append(whole[name])


def table_of(
    plan: Plan, numbers: Sequence[int], draws: Sequence[Draw], rows: Sequence[dict[str, Any]]
) -> pa.Table:
    """Finished rows as a table."""
    columns = schema(plan)
    cells = _cells(columns)
    for number, draw, row in zip(numbers, draws, rows, strict=True):
        _append(cells, plan, number, draw, row)
    return _table(cells, columns)


def _table(cells: dict[str, list[Any]], columns: pa.Schema) -> pa.Table:
    import pyarrow as pa

    arrays = [pa.array(cells[column.name], column.type) for column in columns]
    return pa.Table.from_arrays(arrays, schema=columns)


def _head(plan: Plan, number: int) -> dict[str, Any]:
    spec = plan.spec(number)
    pairing = spec.pairing
    return {
        "case": number,
        "seed": plan.seed,
        "pedal": pairing.pedal,
        "body": pairing.body,
        "learn": pairing.learn,
        "learned_pedal": pairing.learned_pedal or "",
        "learned_body": pairing.learned_body or "",
        "learn_disturbance": pairing.disturbed_learn.text if pairing.disturbed_learn else "",
        "fault": pairing.fault.text if pairing.fault else "",
        **plan.design.columns,
        **spec.labels,
    }


def run_remote(text: str, first: int, last: int) -> pa.Table:
    """A chunk on another machine: the plan travels as text."""
    return run_chunk(_runner(text), first, last, lambda: False, lambda _: None)


@functools.lru_cache(maxsize=4)
def _runner(text: str) -> Runner:
    values = json.loads(text)
    if values["twintrack"] != _core.__version__:
        raise InputError(
            f"a worker has twintrack {_core.__version__}, the run was started with {values['twintrack']}"
        )
    plan = Plan.from_plain(values["plan"])
    # whoever started the run has named them
    plan = plan.with_units(own_controller.units({r: u.name for r, u in plan.study.units.items()}))
    return Runner(plan)


def message(plan: Plan) -> str:
    """The text that :func:`run_remote` reads."""
    return json.dumps({"twintrack": _core.__version__, "plan": plan.to_plain()}, allow_nan=False)
