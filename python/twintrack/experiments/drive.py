# SPDX-License-Identifier: BSD-3-Clause
"""Runs what is missing of an experiment, piece by piece, on the cores of this machine or on a cluster."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ThreadPoolExecutor, wait
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any, Protocol

from ..errors import InputError
from . import chunk
from .plan import Plan
from .progress import Progress
from .store import Store

#: Seconds that a piece of work should take, and cases it has at most and at first.
_SECONDS, _MOST, _FIRST = 3.0, 4096, {"lanes": 64, "exact": 4}
#: Cases of the last pieces: what is left is halved again and again, so that all hands end together.
_LEAST = 32

#: Pieces that may fail before the run gives up; until then the others go on.
_MOST_FAILURES = 3


class Workers(Protocol):
    """Takes pieces of work; ``width`` is how many to keep under way, ``hands`` how many run at once."""

    def submit(self, first: int, last: int) -> Future[Any]: ...

    def width(self) -> int: ...

    def hands(self) -> int: ...

    def stop(self) -> None: ...


class Pieces:
    """Ranges of missing cases, sized so that each takes a few seconds, and small again at the end."""

    def __init__(self, missing: list[tuple[int, int]], solver: str) -> None:
        self._left = list(reversed(missing))
        self._size = _FIRST[solver]
        self._rest = sum(last - first for first, last in missing)

    def learn(self, cases: int, seconds: float) -> None:
        """What a finished piece took."""
        if cases:
            self._size = max(1, min(_MOST, 2 * self._size, int(_SECONDS * cases / max(seconds, 1e-3))))

    def next(self, hands: int) -> tuple[int, int] | None:
        if not self._left:
            return None
        first, last = self._left.pop()
        share = -(-self._rest // hands)
        size = max(1, min(self._size, max(min(_LEAST, share), share // 2)))
        if last - first > size:
            self._left.append((first + size, last))
            last = first + size
        self._rest -= last - first
        return first, last


def drive(
    plan: Plan,
    folder: Path,
    cases: int | None = None,
    *,
    jobs: int | None = None,
    scheduler: str | None = None,
    progress: bool = True,
) -> Progress:
    """Runs the cases below ``cases`` (default: all there are) that are not finished. Ctrl-C keeps those that
    are."""
    from tqdm import tqdm

    if plan.design.adaptive:
        from . import adaptive

        if scheduler:
            raise InputError(
                f"the design {plan.design.name!r} runs on this machine only, without a scheduler"
            )
        return adaptive.drive(plan, folder, cases, jobs=jobs, progress=progress)
    wanted = plan.cases if cases is None else cases
    with Store.open(folder, plan) as store:
        ready = store.finished()
        if cases is None:
            wanted = max(wanted, ready)
        elif ready > wanted:
            raise InputError(f"{folder}: {ready} cases are finished here, more than the {wanted} asked for")
        with tqdm(
            total=wanted, initial=ready, desc="cases", unit=" cases", disable=None if progress else True
        ) as bar:
            if ready == wanted:
                return Progress()
            missing = store.missing(wanted)
            try:
                with _workers(plan, scheduler, jobs or os.cpu_count() or 1, missing, bar.update) as workers:
                    return _run(store, workers, Pieces(missing, plan.solver))
            except KeyboardInterrupt:  # in the shared range learns, before the first case
                return Progress(interrupted=True)


def _run(store: Store, workers: Workers, pieces: Pieces) -> Progress:
    """Keeps the workers busy and writes each piece as it comes; holds only a few in memory."""
    progress = Progress()
    waiting: dict[Future[Any], tuple[int, int, float]] = {}
    try:
        while True:
            while len(waiting) < workers.width() and (piece := pieces.next(workers.hands())):
                waiting[workers.submit(*piece)] = (*piece, time.monotonic())
            if not waiting:
                return progress
            for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                first, last, began = waiting.pop(future)
                taken = _take(store, future, (first, last), progress)
                # a piece waits for its turn behind another one
                pieces.learn(taken, (time.monotonic() - began) * workers.hands() / workers.width())
    except KeyboardInterrupt:
        progress.interrupted = True
        workers.stop()
        for future, (first, last, _) in waiting.items():
            if not future.cancel() and not future.cancelled():
                _take(store, future, (first, last), progress)
        return progress


def _take(store: Store, future: Future[Any], piece: tuple[int, int], progress: Progress) -> int:
    first, last = piece
    try:
        table = future.result()
    except InputError:
        raise
    except Exception as error:
        progress.failures.append(f"cases {first} to {last - 1}: {type(error).__name__}: {error}")
        if len(progress.failures) >= _MOST_FAILURES:
            raise RuntimeError(
                f"{len(progress.failures)} pieces of work failed; finished cases are kept. "
                f"The last: {progress.failures[-1]}"
            ) from error
        return 0
    store.add(first, table)
    progress.ran += table.num_rows
    return int(table.num_rows)


class _Threads:
    """The cores of this machine, in this process."""

    def __init__(self, runner: chunk.Runner, jobs: int, pool: Executor, tell: Callable[[int], Any]) -> None:
        self._runner, self._jobs, self._pool, self._tell = runner, jobs, pool, tell
        self._stopped = threading.Event()

    def submit(self, first: int, last: int) -> Future[Any]:
        return self._pool.submit(chunk.run_chunk, self._runner, first, last, self._stopped.is_set, self._tell)

    def width(self) -> int:
        return 2 * self._jobs

    def hands(self) -> int:
        return self._jobs

    def stop(self) -> None:
        self._stopped.set()


@contextmanager
def _threads(
    plan: Plan, jobs: int, missing: list[tuple[int, int]], tell: Callable[[int], Any]
) -> Iterator[Workers]:
    runner = chunk.Runner(plan)
    size = len(plan.specs)
    some = (n for first, last in missing for n in range(first, min(last, first + size)))
    runner.learns.prepare(some, jobs)
    with ThreadPoolExecutor(jobs) as pool:
        workers = _Threads(runner, jobs, pool, tell)
        try:
            yield workers
        finally:
            workers.stop()


def _workers(
    plan: Plan, scheduler: str | None, jobs: int, missing: list[tuple[int, int]], tell: Callable[[int], Any]
) -> AbstractContextManager[Workers]:
    """A cluster, processes or threads; the results are the same."""
    if scheduler:
        return _cluster(plan, scheduler, tell)
    if plan.study.units:
        from .processes import processes, worth_it

        if worth_it(plan, jobs, missing):
            return processes(plan, jobs, tell)
    return _threads(plan, jobs, missing, tell)


@contextmanager
def _cluster(plan: Plan, address: str, tell: Callable[[int], Any]) -> Iterator[Workers]:
    from .cluster import connect

    with connect(plan, address, tell) as workers:
        yield workers
