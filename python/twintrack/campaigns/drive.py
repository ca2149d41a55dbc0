# SPDX-License-Identifier: BSD-3-Clause
"""Runs what is missing of a campaign, chunk by chunk, on the cores of this machine or on a cluster."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ThreadPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol

from ..errors import InputError
from . import execute
from .plan import Plan
from .store import Store

#: Cases of one file and of one piece of work, by engine: what a kill costs at most, a core.
CHUNKS = {"exact": 100, "lanes": 256}

#: Chunks that may fail before the campaign gives up; until then the others go on.
_MOST_FAILURES = 3


@dataclass
class Progress:
    """What one call did: how many cases it ran, whether Ctrl-C ended it, and which ranges failed and why."""

    ran: int = 0
    interrupted: bool = False
    failures: list[str] = field(default_factory=list)


class Workers(Protocol):
    """Takes pieces of work; ``width`` is how many to keep under way."""

    def submit(self, first: int, last: int) -> Future[Any]: ...

    def width(self) -> int: ...

    def stop(self) -> None: ...


def drive(
    plan: Plan,
    folder: Path,
    cases: int,
    *,
    jobs: int | None = None,
    scheduler: str | None = None,
    chunk: int | None = None,
    progress: bool = True,
) -> Progress:
    """Runs the cases below ``cases`` that are not finished. Ctrl-C keeps those that are."""
    from tqdm import tqdm

    with Store.open(folder, plan) as store:
        ready = store.finished(cases)
        with tqdm(
            total=cases, initial=ready, desc="cases", unit=" cases", disable=None if progress else True
        ) as bar:
            if ready == cases:
                return Progress()
            threads = _threads(plan, jobs or os.cpu_count() or 1, bar.update)
            with _cluster(plan, scheduler, bar.update) if scheduler else threads as workers:
                return _run(store, workers, store.missing(cases, chunk or CHUNKS[plan.engine]))


def _run(store: Store, workers: Workers, ranges: Iterator[tuple[int, int]]) -> Progress:
    """Keeps the workers busy and writes each chunk as it comes; holds only a few in memory."""
    progress = Progress()
    waiting: dict[Future[Any], tuple[int, int]] = {}
    try:
        while True:
            while len(waiting) < workers.width() and (piece := next(ranges, None)):
                waiting[workers.submit(*piece)] = piece
            if not waiting:
                return progress
            for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                _take(store, future, waiting.pop(future), progress)
    except KeyboardInterrupt:
        progress.interrupted = True
        workers.stop()
        for future, piece in waiting.items():
            if not future.cancel() and not future.cancelled():
                _take(store, future, piece, progress)
        return progress


def _take(store: Store, future: Future[Any], piece: tuple[int, int], progress: Progress) -> None:
    first, last = piece
    try:
        table = future.result()
    except InputError:
        raise
    except Exception as error:
        progress.failures.append(f"cases {first} to {last - 1}: {type(error).__name__}: {error}")
        if len(progress.failures) >= _MOST_FAILURES:
            raise RuntimeError(
                f"{len(progress.failures)} chunks failed; finished cases are kept. "
                f"The last: {progress.failures[-1]}"
            ) from error
        return
    store.add(first, table)
    progress.ran += table.num_rows


class _Threads:
    """The cores of this machine, in this process."""

    def __init__(self, plan: Plan, jobs: int, pool: Executor, tell: Callable[[int], Any]) -> None:
        self._plan, self._jobs, self._pool, self._tell = plan, jobs, pool, tell
        self._stopped = threading.Event()

    def submit(self, first: int, last: int) -> Future[Any]:
        return self._pool.submit(
            execute.run_chunk, self._plan, first, last, self._stopped.is_set, lambda: self._tell(1)
        )

    def width(self) -> int:
        return 2 * self._jobs

    def stop(self) -> None:
        self._stopped.set()


@contextmanager
def _threads(plan: Plan, jobs: int, tell: Callable[[int], Any]) -> Iterator[Workers]:
    with ThreadPoolExecutor(jobs) as pool:
        workers = _Threads(plan, jobs, pool, tell)
        try:
            yield workers
        finally:
            workers.stop()


@contextmanager
def _cluster(plan: Plan, address: str, tell: Callable[[int], Any]) -> Iterator[Workers]:
    from .cluster import connect

    with connect(plan, address, tell) as workers:
        yield workers
