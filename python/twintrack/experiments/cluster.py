# SPDX-License-Identifier: BSD-3-Clause
"""The same work on other machines, by an existing scheduler: Dask distributed (the extra
``twintrack[cluster]``).

    dask scheduler                         on one machine
    dask worker tcp://192.0.2.7:8786       on each machine that helps, in an environment with this package
    twintrack run study.toml --cases 100000 --out results --scheduler tcp://192.0.2.7:8786

Only the process that was started writes results; a worker that dies costs the chunk it was at, which another
one does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from typing import Any

from ..errors import InputError
from . import chunk
from .plan import Plan

#: How long a scheduler may take to answer.
PATIENCE = "10s"


class _Cluster:
    def __init__(self, client: Any, plan: Plan, tell: Callable[[int], Any]) -> None:
        self._client, self._tell = client, tell
        self._executor = client.get_executor(pure=False, retries=0)
        self._text = chunk.message(plan)

    def submit(self, first: int, last: int) -> Future[Any]:
        future: Future[Any] = self._executor.submit(chunk.run_remote, self._text, first, last)
        future.add_done_callback(self._count)
        return future

    def _count(self, future: Future[Any]) -> None:
        if not future.cancelled() and future.exception() is None:
            self._tell(future.result().num_rows)

    def width(self) -> int:
        return max(2, 2 * int(sum(self._client.nthreads().values())))

    def hands(self) -> int:
        return max(1, int(sum(self._client.nthreads().values())))

    def stop(self) -> None:
        """Pieces that have not begun are dropped; those that have are waited for."""


@contextmanager
def connect(plan: Plan, address: str, tell: Callable[[int], Any]) -> Iterator[_Cluster]:
    """Raises :class:`InputError` when Dask is not installed or no scheduler answers at the address."""
    try:
        import distributed
    except ImportError as error:
        raise InputError(
            "--scheduler needs Dask distributed, which is not installed: pip install 'twintrack[cluster]'"
        ) from error
    try:
        make: Any = distributed.Client
        client = make(address, timeout=PATIENCE)
    except (OSError, ValueError) as error:
        raise InputError(f"{address}: no scheduler answers there: {error}") from error
    with client:
        yield _Cluster(client, plan, tell)
