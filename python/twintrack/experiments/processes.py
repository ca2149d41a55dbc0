# SPDX-License-Identifier: BSD-3-Clause
"""Pieces of work in processes of their own, for units written in Python: in threads of one process they would
take turns with its interpreter lock."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from queue import SimpleQueue
from typing import Any

from .. import _core
from ..errors import InputError
from ..studies import own_controller
from ..studies.isolated import Isolated
from . import chunk
from .plan import Plan

#: Control ticks beyond which processes are used: two of them need 0.7 s to begin, then half the time
#: of one thread (56 cases, 500,000 ticks: 3.1 s; one thread 6.4 s, two 7.6 s). On a busy machine they
#: gain nothing.
_WORTH_IT = 300_000


def worth_it(plan: Plan, jobs: int, missing: list[tuple[int, int]]) -> bool:
    """Whether cases go through Python at every tick, are many, and another process can find the units."""
    if jobs < 2 or not any(_of_python(unit) for unit in plan.study.units.values()):
        return False
    period = plan.study.bench.get("control_period", _core.BenchParameters().control_period)
    ticks = sum(last - first for first, last in missing) * plan.design.stroke.duration / period
    return ticks > _WORTH_IT and all(_found_by_name(unit) for unit in plan.study.units.values())


def _of_python(unit: own_controller.OwnController) -> bool:
    return not isinstance(unit.factory, _core.SharedController | Isolated)


def _found_by_name(unit: own_controller.OwnController) -> bool:
    if isinstance(unit.factory, Isolated) or unit.name.startswith("__main__:"):
        return False
    try:
        return own_controller.load(unit.name).sha256 == unit.sha256
    except InputError:
        return False


class _Worker:
    """One process; it makes the plan once."""

    def __init__(self, text: str) -> None:
        self._pipe, far = Pipe()
        program = f"from {__name__} import serve; serve({far.fileno()})"
        places = [str(Path(_core.__file__).parents[1]), *(place or os.getcwd() for place in sys.path)]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(places)}
        # A program of its own: a fork would not have the threads, and multiprocessing's would run the user's
        # own program once more.
        self._process = subprocess.Popen(
            [sys.executable, "-c", program],
            pass_fds=[far.fileno()],
            env=environment,
            stdin=subprocess.DEVNULL,
        )
        far.close()
        self._pipe.send(text)

    def run(self, first: int, last: int) -> Any:
        """A table. Raises what was raised there, and EOFError for a process that is gone."""
        self._pipe.send((first, last))
        answer = self._pipe.recv()
        if isinstance(answer, Exception):
            raise answer
        return answer

    def end(self) -> None:
        self._process.kill()
        self._process.wait()


class _Processes:
    """As many workers as there are threads that wait for them."""

    def __init__(self, plan: Plan, jobs: int, pool: ThreadPoolExecutor, tell: Callable[[int], Any]) -> None:
        self._plan, self._jobs, self._pool, self._tell = plan, jobs, pool, tell
        text = chunk.message(plan)
        self._all = [_Worker(text) for _ in range(jobs)]
        self._free: SimpleQueue[_Worker] = SimpleQueue()
        for worker in self._all:
            self._free.put(worker)
        self._stopped = threading.Event()

    def submit(self, first: int, last: int) -> Future[Any]:
        return self._pool.submit(self._run, first, last)

    def _run(self, first: int, last: int) -> Any:
        worker = self._free.get()
        try:
            if not self._stopped.is_set():
                table = worker.run(first, last)
                self._tell(table.num_rows)
                return table
        except (EOFError, OSError) as error:
            if not self._stopped.is_set():
                raise RuntimeError("a process of the units has ended") from error
        finally:
            self._free.put(worker)
        return chunk.schema(self._plan).empty_table()

    def width(self) -> int:
        return 2 * self._jobs

    def hands(self) -> int:
        return self._jobs

    def stop(self) -> None:
        """What is under way is lost; it is no finished case."""
        self._stopped.set()
        for worker in self._all:
            worker.end()


@contextmanager
def processes(plan: Plan, jobs: int, tell: Callable[[int], Any]) -> Iterator[_Processes]:
    with ThreadPoolExecutor(jobs) as pool:
        workers = _Processes(plan, jobs, pool, tell)
        try:
            yield workers
        finally:
            workers.stop()


def serve(descriptor: int) -> None:
    """In the process: a table, or what went wrong, for each range of cases."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the program that started it
    pipe = Connection(descriptor)
    with contextlib.suppress(EOFError, OSError):  # nobody asks any more
        text = pipe.recv()
        while True:
            first, last = pipe.recv()
            try:
                answer: Any = chunk.run_remote(text, first, last)
            except InputError as error:
                answer = error
            except Exception as error:
                answer = RuntimeError(f"{type(error).__name__}: {error}")
            pipe.send(answer)
