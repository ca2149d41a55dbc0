# SPDX-License-Identifier: BSD-3-Clause
"""Runs the cases of a design that chooses them by what earlier ones gave.

A group of cases is a piece of work: it is cut among the threads, and stored as a whole. The next start asks
the design again from the beginning and hands out what is stored; only what is missing is run.
"""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, cast

from ..errors import InputError
from ..search.strategies import Spent
from ..tolerances.apply import Draw
from . import chunk, counterexample
from .plan import Plan
from .progress import Progress
from .store import Store

Rows = list[dict[str, Any]]


class Asked:
    """Gives rows to a design: the stored ones first, then by ``run``."""

    def __init__(
        self,
        names: Sequence[str],
        stored: Rows,
        most: int,
        run: Callable[[int, Sequence[Draw]], Rows] | None = None,
        deadline: float | None = None,
    ) -> None:
        self._names, self._stored, self._most, self._run = names, stored, most, run
        self._deadline = deadline
        self.count = 0

    def __call__(self, draws: Sequence[Draw]) -> Rows:
        """The rows of the next cases; raises ``Spent`` when not all of them may be run."""
        some = list(draws[: max(self._most - self.count, 0)])
        known = self._stored[self.count : self.count + len(some)]
        for row, draw in zip(known, some, strict=False):
            self._check(row, draw)
        missing = some[len(known) :]
        late = self._deadline is not None and time.monotonic() > self._deadline
        if missing and (self._run is None or late):
            raise Spent
        new = self._run(self.count + len(known), missing) if missing and self._run else []
        self.count += len(some)
        if len(some) < len(draws) or not draws:
            raise Spent
        return [*known, *new]

    def _check(self, row: dict[str, Any], draw: Draw) -> None:
        if any(row[name] != draw[name] for name in self._names):
            raise InputError(
                f"case {row['case']}: another candidate is stored than is asked for now: another version of "
                "SciPy, NumPy or cma than when it was run? Choose another folder"
            )


def drive(
    plan: Plan, folder: Path, cases: int | None = None, *, jobs: int | None = None, progress: bool = True
) -> Progress:
    """Runs what is missing, at most ``cases`` in all (default: the design's)."""
    from tqdm import tqdm

    design: Any = plan.design
    most, done = cases or plan.cases, Progress()
    limit = getattr(design, "time", None)
    deadline = None if limit is None else time.monotonic() + limit
    with Store.open(folder, plan) as store, ThreadPoolExecutor(jobs or os.cpu_count() or 1) as pool:
        stored = _stored(store, plan)
        if len(stored) > most:
            raise InputError(
                f"{folder}: {len(stored)} cases are finished here, more than the {most} asked for"
            )
        runner, wide = chunk.Runner(plan), jobs or os.cpu_count() or 1
        bar = tqdm(
            total=most, initial=len(stored), desc="cases", unit=" cases", disable=None if progress else True
        )

        def run(first: int, draws: Sequence[Draw]) -> Rows:
            rows = _side_by_side(runner, pool, wide, first, draws)
            numbers = range(first, first + len(draws))
            store.add(first, chunk.table_of(plan, numbers, draws, rows))
            done.ran += len(rows)
            bar.update(len(rows))
            return [{**row, **draw} for row, draw in zip(rows, draws, strict=True)]

        ask = Asked(plan.names, stored, most, run, deadline)
        try:
            with bar:
                design.pursue(plan, ask)
            done.ended = True
        except Spent:
            done.ended = ask.count >= most or getattr(design, "first", False) or deadline is not None
        except KeyboardInterrupt:
            done.interrupted = True
            return done
        if done.ended:
            counterexample.write(plan, folder, wide)
    return done


def pursued(plan: Plan, runs: int, jobs: int | None = None) -> Rows:
    """The rows that a design asks for, at most ``runs``, without a folder."""
    runner, wide = chunk.Runner(plan), jobs or os.cpu_count() or 1
    found: Rows = []
    with ThreadPoolExecutor(wide) as pool:

        def run(first: int, draws: Sequence[Draw]) -> Rows:
            rows = _side_by_side(runner, pool, wide, first, draws)
            found.extend({**row, **draw} for row, draw in zip(rows, draws, strict=True))
            return found[first:]

        with contextlib.suppress(Spent):
            cast(Any, plan.design).pursue(plan, Asked(plan.names, [], runs, run))
    return found


def _side_by_side(
    runner: chunk.Runner, pool: ThreadPoolExecutor, wide: int, first: int, draws: Sequence[Draw]
) -> Rows:
    """One group of cases, cut among the threads; every row is its own and does not depend on the cut."""
    size = -(-len(draws) // wide)
    size = min(size, chunk.BLOCKS[runner.plan.solver])
    parts = [range(k, min(k + size, len(draws))) for k in range(0, len(draws), size)]
    if not runner.plan.learns_scatter:
        runner.learns.prepare([first], wide)
    tasks = [pool.submit(runner.rows, [first + k for k in part], [draws[k] for k in part]) for part in parts]
    rows = [row for task in tasks for row in task.result()]
    for row in rows:
        if row["status"] == "interrupted":
            raise KeyboardInterrupt
    return rows


def _stored(store: Store, plan: Plan) -> Rows:
    """The rows that are finished, from the first on without a gap."""
    import pyarrow.parquet as pq

    found: Rows = []
    for first, _, path in store.files():
        if first != len(found):
            raise InputError(f"{path}: the cases before it are missing; choose another folder")
        found += pq.read_table(path, schema=chunk.schema(plan)).to_pylist()
    return found
