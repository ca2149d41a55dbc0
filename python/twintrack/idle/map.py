# SPDX-License-Identifier: BSD-3-Clause
"""The maps of an idle: engine speed and finding against tracks that do not match what was learned, and
against learns in which something went wrong. Everything on them is drawn from runs.
"""

from __future__ import annotations

import itertools
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError
from ..files import output as files
from ..pool import Pool
from . import page as idle_page
from . import table as idle_table
from .study import ASSEMBLIES, MISHAPS, STRICTNESS, STROKE, IdleMaps, IdleStudy, bench

if TYPE_CHECKING:
    pass


def mismatch_faults(assembly: str, tracks: Any, shares: tuple[float, ...]) -> list[_core.Fault]:
    """Each track reads so much of its range too high (toward open, toward pressed) from the start."""
    return [
        _core.Fault(
            where=f"{assembly}.track{k}", what="offset", amount=share * (track.ratio[-1] - track.ratio[0])
        )
        for k, (track, share) in enumerate(zip(tracks, shares, strict=False), 1)
        if share != 0.0
    ]


def run(source: IdleStudy, out: str | Path, *, jobs: int | None = None, progress: bool = True) -> IdleMaps:
    """Runs the maps of every pair; ``out`` gets ``idle.html``, two pictures, and the tables ``idle_mismatch``
    and ``idle_mishaps`` (Parquet and CSV). Ctrl-C keeps what is finished."""
    out = Path(out)
    with files.stage(out) as stage:
        pool = Pool(jobs or os.cpu_count() or 1, progress)
        maps = _run(source, pool)
        files.write_table(maps.mismatch, stage, "idle_mismatch")
        files.write_table(maps.mishaps, stage, "idle_mishaps")
        idle_page.write(maps, stage)
        files.publish(stage, out, [])
    return maps


def _run(source: IdleStudy, pool: Pool) -> IdleMaps:
    import pandas as pd

    pairs = list(itertools.product(source.study.pedals, source.study.bodies))
    learned = pool.map("learns", lambda i: {"result": _learn(source, *pairs[i])}, len(pairs))
    offsets: list[Callable[[], dict[str, Any]]] = []
    mishaps: list[Callable[[], dict[str, Any]]] = []
    for pair, known in zip(pairs, learned, strict=True):
        if known is not None:
            offsets += _mismatch_work(source, pair, known["result"])
            mishaps += _mishap_work(source, pair)
    first = pool.map("mismatches", lambda i: offsets[i](), len(offsets))
    second = pool.map("mishaps", lambda i: mishaps[i](), len(mishaps))
    tables = [pd.DataFrame([row for row in rows if row is not None]) for rows in (first, second)]
    return IdleMaps(source, tables[0], tables[1], pool.interrupted)


def _learn(source: IdleStudy, pedal: str, body: str) -> Any:
    result = _core.run_learn(_core.Case(parameters=source.study.parameters(pedal, body, 0))).result
    if not result.accepted:
        raise InputError(f"{pedal} with {body}: the range learn was refused: {result.reason}")
    return result


def _mismatch_work(source: IdleStudy, pair: tuple[str, str], learned: Any) -> list[Callable[[], Any]]:
    parameters = bench(source, *pair)
    work = []
    for assembly in ASSEMBLIES:
        part = parameters.body if assembly == "throttle" else parameters.pedal
        shares: list[tuple[float, ...]] = list(itertools.product(source.offsets, repeat=2))
        if len(part.tracks) == 3:
            shares += [(0.0, 0.0, share) for share in source.offsets if share != 0.0]
        for chosen in shares:
            faults = mismatch_faults(assembly, part.tracks, chosen)
            case = _core.Case(parameters=parameters, stroke=STROKE, faults=faults)
            what = {"assembly": assembly} | {
                f"track{k}": share for k, share in enumerate((*chosen, 0.0)[:3], 1)
            }
            work.append(_later(pair, what, case, learned))
    return work


def _mishap_work(source: IdleStudy, pair: tuple[str, str]) -> list[Callable[[], Any]]:
    parameters, work = bench(source, *pair), []
    degrees = source.severities
    for strictness, (name, where, span) in itertools.product(STRICTNESS, MISHAPS):
        for degree in range(degrees if span else 1):
            amount = span and span[0] + (span[1] - span[0]) * degree / (degrees - 1)
            mishap = _core.Mishap(name=name, amount=amount, where=where)
            what = {
                "strictness": strictness,
                "mishap": name,
                "where": where,
                "degree": degree,
                "amount": amount,
            }
            work.append(_faulty(pair, what, parameters, mishap))
    return work


def _faulty(pair: tuple[str, str], what: dict[str, Any], parameters: Any, mishap: Any) -> Callable[[], Any]:
    def work() -> dict[str, Any]:
        learned = _core.learn(parameters, mishaps=[mishap], strictness=what["strictness"]).result
        found: dict[str, Any] = _later(
            pair, what, _core.Case(parameters=parameters, stroke=STROKE), learned
        )()
        return found

    return work


def _later(pair: tuple[str, str], what: dict[str, Any], case: Any, learned: Any) -> Callable[[], Any]:
    def work() -> dict[str, Any]:
        result = _core.run_case(case, learned=learned)
        return (
            {"pedal": pair[0], "body": pair[1]}
            | what
            | idle_table.columns(result.idle)
            | {
                "answer": result.answer,
                "learn_accepted": result.learn_accepted,
                "learn_reason": result.learn_reason,
                "codes": " ".join(code.text for code in result.codes),
                "status": result.outcome.status,
            }
        )

    return work
