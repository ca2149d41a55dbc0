# SPDX-License-Identifier: BSD-3-Clause
"""Runs an audit on all cores and writes what it found."""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError
from ..files import output as files
from ..files.traces import to_pandas
from ..pool import Pool
from ..rulebooks import rulebook
from . import engine as audit_engine
from . import freeze_frame
from . import judge as audit_judge
from . import table as audit_table
from .report import write_picture, write_report
from .result import Audited, Pair
from .study import UNWATCHED, Audit, AuditCase, times

if TYPE_CHECKING:
    import pandas as pd


def run(
    audit: Audit, out: str | Path, *, jobs: int | None = None, progress: bool = True, report: bool = True
) -> Audited:
    """Runs every case; ``out`` gets ``audit.html``, ``audit.png`` and tables, ``audit_*.parquet`` and CSV.

    ``jobs`` is the number of threads (default: one a core); the results do not depend on it. Ctrl-C stops
    after the cases that are running and keeps what is finished. Raises :class:`InputError` when ``out``
    cannot be written and when a pair's range learn is refused.
    """
    out = Path(out)
    with files.stage(out) as stage:
        found = _Audit(audit, Pool(jobs or os.cpu_count() or 1, progress)).run()
        for name in ("cases", "healthy", "faults", "coverage", "verdicts"):
            files.write_table(getattr(found, name), stage, f"audit_{name}")
        if report:
            write_report(found, stage / "audit.html")
            write_picture(found, stage / "audit.png")
        files.publish(stage, out, [])
    return found


class _Audit:
    """The steps of an audit, and what the later ones need of the earlier."""

    def __init__(self, audit: Audit, pool: Pool) -> None:
        self.audit, self.pool = audit, pool
        self.learned: dict[Pair, _core.LearnResult] = {}
        self.blade: dict[Pair, Any] = {}
        self.instants: dict[Pair, dict[str, float]] = {}

    def run(self) -> Audited:
        audit = self.audit
        self._learn()
        healthy_cases = audit.healthy()
        healthy = self._map("healthy runs", self._healthy, healthy_cases)
        for row in healthy:
            if row:
                row.pop("verdicts")
        listed = [case for case in audit.cases() if self._comes(case)]
        starts = [self.instants.get((c.pedal, c.body), {}).get(c.instant, math.nan) for c in listed]
        number = {case: i for i, case in enumerate(listed)}
        rows = self._map("faults", lambda case: self._faulty(case, starts[number[case]]), listed)
        verdicts = rulebook.collect(audit.rules, [row.pop("verdicts") if row else None for row in rows])
        table = audit_table.cases(listed, starts, rows)
        return Audited(
            audit=audit,
            listed=listed,
            cases=table,
            healthy=audit_table.cases(healthy_cases, [0.0] * len(healthy), healthy),
            faults=audit_table.faults(table),
            coverage=audit_table.coverage(table, list(audit.setups)),
            verdicts=verdicts,
            instants=self.instants,
            pictured=self._pictures(listed, table),
            interrupted=self.pool.interrupted,
        )

    def _map(
        self, what: str, work: Callable[[AuditCase], dict[str, Any]], cases: list[AuditCase]
    ) -> list[dict[str, Any] | None]:
        return self.pool.map(what, lambda i: work(cases[i]), len(cases))

    def _learn(self) -> None:
        pairs = [AuditCase(pedal, body, UNWATCHED) for pedal, body in self.audit.pairs]

        def learn(case: AuditCase) -> dict[str, Any]:
            return {"result": _core.run_learn(self.audit.core_case(case)).result}

        for case, row in zip(pairs, self._map("range learns", learn, pairs), strict=True):
            if row is None:
                continue
            if not row["result"].accepted:
                raise InputError(
                    f"{case.pedal} + {case.body}: the range learn is refused ({row['result'].reason}); "
                    "an audit needs a pair that learns"
                )
            self.learned[case.pedal, case.body] = row["result"]

    def _simulate(self, case: AuditCase, start: float = 0.0) -> _core.CaseResult:
        learned = self.learned[case.pedal, case.body]
        return _core.run_case(self.audit.core_case(case, start), learned=learned, trace=True)

    def _resting(self, case: AuditCase) -> float:
        return audit_judge.default_opening(self.audit.study.bodies[case.body])

    def _comes(self, case: AuditCase) -> bool:
        """Whether the instant comes with this pair; taken for granted where Ctrl-C left nothing known."""
        return case.instant in self.instants.get((case.pedal, case.body), case.instant)

    def _healthy(self, case: AuditCase) -> dict[str, Any]:
        result = self._simulate(case)
        blade = result.record["blade.opening"].copy()
        if case.setup == UNWATCHED:
            resting = self._resting(case)
            self.blade[case.pedal, case.body] = blade
            self.instants[case.pedal, case.body] = times(
                self.audit.stroke, blade, result.record.time, resting
            )
        return self._row(case, result, blade, 0.0)

    def _faulty(self, case: AuditCase, start: float) -> dict[str, Any]:
        return self._row(case, self._simulate(case, start), self.blade[case.pedal, case.body], start)

    def _row(self, case: AuditCase, result: Any, blade: Any, start: float) -> dict[str, Any]:
        """Rules are judged by the study's own monitor whatever the set-up: all set-ups before one judge."""
        judge = self.audit.study.parameters(case.pedal, case.body, 0)
        learned = self.learned[case.pedal, case.body].range
        verdicts = rulebook.evaluate(result.record, self.audit.rules, parameters=judge, learned=learned)
        assessed = audit_judge.assess(result, blade, start, self._resting(case), self.audit.tolerance)
        frames = freeze_frame.frames(result, _tracks(judge), most=1)
        return assessed | {
            **audit_engine.columns(result, judge, learned),
            "freeze_frame": freeze_frame.text(frames[0]) if frames else "",
            "rules_failed": "; ".join(v.rule for v in verdicts if v.finding == "failed"),
            "verdicts": verdicts,
        }

    def _pictures(
        self, listed: list[AuditCase], table: pd.DataFrame
    ) -> dict[str, tuple[int, dict[str, pd.DataFrame]]]:
        """Traces of the worst case of each kind, under every set-up and healthy, thinned out."""
        chosen = audit_table.worst_cases(table, self._compared())

        def trace(i: int) -> dict[str, Any]:
            number = list(chosen.values())[i]
            case, start = listed[number], float(table["start_s"].iloc[number])
            runs = {name: (replace(case, setup=name), start) for name in self.audit.setups}
            runs |= {"": (AuditCase(case.pedal, case.body, UNWATCHED), 0.0)}
            tracks = _tracks(self.audit.parameters(case))
            return {name: _thin(self._simulate(*run), tracks) for name, run in runs.items()}

        traces = self.pool.map("pictures", trace, len(chosen))
        return {
            kind: (number, found)
            for (kind, number), found in zip(chosen.items(), traces, strict=True)
            if found is not None
        }

    def _compared(self) -> str:
        """The set-up whose worst cases are shown: the first that looks at all."""
        return next((name for name in self.audit.setups if name != UNWATCHED), UNWATCHED)


def _tracks(bench: _core.BenchParameters) -> dict[str, int]:
    return {"pedal": len(bench.pedal.tracks), "throttle": len(bench.body.tracks)}


def _thin(result: Any, tracks: dict[str, int]) -> pd.DataFrame:
    """What a picture needs, every fifth row, and the freeze-frames."""
    table = to_pandas(result.record)[["asked", "blade.opening", "reaction"]].iloc[::5]
    table.attrs["codes"] = freeze_frame.frames(result, tracks)
    return table
