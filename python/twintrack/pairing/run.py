# SPDX-License-Identifier: BSD-3-Clause
"""Runs the cases of a study on all cores and writes what they gave."""

from __future__ import annotations

import importlib.util
import os
import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError
from ..files import output as files
from ..idle import table as idle_table
from ..pool import Pool
from ..rulebooks import rulebook
from ..studies.learns import Learns
from ..studies.study import Pairing, Study
from . import fault_effects, fault_report, outcome
from .report import write_picture, write_report
from .result import Finished

if TYPE_CHECKING:
    import pandas as pd

NOT_RUN = "not run"


def run(
    study: Study,
    out: str | Path,
    *,
    jobs: int | None = None,
    traces: str | None = None,
    mdf4: bool = False,
    progress: bool = True,
    report: bool = True,
) -> Finished:
    """Runs every case; ``out`` gets the results, traces, ``report.html`` and ``pairing.png``
    (not for a study of every wiring fault).

    ``jobs`` is the number of threads (default: one a core); the results do not depend on it. Files appear
    only when they are complete. Ctrl-C stops after the cases that are running and keeps what is finished: the
    others have ``status`` "not run". Raises :class:`InputError` when ``out`` cannot be written.
    """
    traces = traces or study.traces
    if mdf4 and importlib.util.find_spec("asammdf") is None:
        raise InputError(
            "MDF4 traces need the package asammdf, which is not installed: pip install 'twintrack[mdf]'"
        )
    with files.stage(Path(out)) as stage:
        pairings = study.pairings()
        write = _trace_writer(study, stage / "traces", mdf4)
        pool = Pool(jobs or os.cpu_count() or 1, progress)
        learns = Learns(study, pairings)
        work = partial(_run, study, pairings, learns)
        rows = pool.map("cases", lambda i: work(i, write if traces == "all" else None), len(pairings))
        verdicts = rulebook.collect(study.rules, [row.pop("verdicts") if row else None for row in rows])
        table = _frame(study, pairings, rows)
        if traces == "interesting":
            chosen = [pick.number for pick in fault_report.picks(study, table)]
            pool.map("traces", lambda k: work(chosen[k], write), len(chosen))
        names = [_trace_name(stage / "traces", i, p) for i, p in enumerate(pairings)]
        table["trace"] = names
        files.write_table(table, stage, "results")
        if study.rules:
            files.write_table(verdicts, stage, "verdicts")
        written = {i: stage / name for i, name in enumerate(names) if name}
        if report:
            write_report(Finished(study, table, written, pool.interrupted, verdicts), stage / "report.html")
            if study.every_fault_from is None:
                write_picture(table, stage / "pairing.png")
        files.publish(stage, Path(out), _old(Path(out)))
    final = {i: Path(out) / path.relative_to(stage) for i, path in written.items()}
    return Finished(study, table, final, pool.interrupted, verdicts)


def _run(
    study: Study, pairings: list[Pairing], learns: Learns, number: int, write: Callable[..., None] | None
) -> dict[str, Any]:
    pairing = pairings[number]
    case = study.case(pairing, number)
    learned = learns(number)
    trace = write is not None or len(study.rules) > 0 or study.every_fault_from is not None
    result = _core.run_case(case, learned=learned, trace=trace)
    if write is not None:
        write(number, pairings[number], result)
    verdicts = _verdicts(study, case, learned, result)
    extra = {}
    if study.every_fault_from is not None:
        pedal, body = study.pedals[pairing.pedal], study.bodies[pairing.body]
        extra = fault_effects.columns(result, len(pedal.tracks), len(body.tracks), study.every_fault_from)
    if result.idle is not None:
        extra |= idle_table.columns(result.idle)
    failed = [v.rule for v in verdicts if v.finding == "failed"]
    refusal = learned.refusal if learned and not learned.accepted else ""
    return extra | outcome.columns(result, failed) | {"learn_refusal": refusal, "verdicts": verdicts}


def _verdicts(study: Study, case: Any, learned: Any, result: Any) -> list[Any]:
    if not study.rules:
        return []
    known = learned.range if learned and learned.accepted else None
    return rulebook.evaluate(result.record, study.rules, parameters=case.parameters, learned=known)


def _frame(study: Study, pairings: list[Pairing], rows: list[dict[str, Any] | None]) -> pd.DataFrame:
    import pandas as pd

    faulty = study.every_fault_from is not None
    mistaken = any(p.mistake for p in pairings)
    kinds = {"learn_accepted": "boolean"} | dict.fromkeys((*outcome.TEXTS, "learn_refusal"), "str")
    empty = outcome.none(NOT_RUN) | {"learn_refusal": ""} | (fault_effects.EMPTY if faulty else {})
    empty |= idle_table.EMPTY if study.engine else {}
    table = pd.DataFrame(
        [
            {
                "pedal": p.pedal,
                "body": p.body,
                "learn": p.learn,
                "learned_pedal": p.learned_pedal or "",
                "learned_body": p.learned_body or "",
            }
            | ({"mistake": p.mistake.text if p.mistake else ""} if mistaken else {})
            | ({"fault": p.fault.text if p.fault else ""} if faulty else {})
            | (row or empty)
            for p, row in zip(pairings, rows, strict=True)
        ]
    )
    table.index.name = "case"
    return table.astype(kinds)


def _stem(number: int, pairing: Pairing) -> str:
    return f"{number:05d}-" + re.sub(r"[^A-Za-z0-9._-]+", "_", pairing.label)


def _trace_name(folder: Path, number: int, pairing: Pairing) -> str:
    path = folder / f"{_stem(number, pairing)}.parquet"
    return f"traces/{path.name}" if path.exists() else ""


def _trace_writer(study: Study, folder: Path, mdf4: bool) -> Callable[[int, Pairing, Any], None]:
    def write(number: int, pairing: Pairing, result: Any) -> None:
        from ..files import traces

        folder.mkdir(exist_ok=True)
        path = folder / f"{_stem(number, pairing)}.parquet"
        about = traces.about(study.title, pairing.label, result)
        traces.write_parquet(result.record, path, about)
        if mdf4:
            traces.write_mdf4(result.record, path.with_suffix(".mf4"), about)

    return write


def _old(out: Path) -> list[Path]:
    """Traces and verdicts of an earlier run."""
    return [*(out / "traces").glob("[0-9][0-9][0-9][0-9][0-9]-*--*.*"), *out.glob("verdicts.*")]
