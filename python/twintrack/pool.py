# SPDX-License-Identifier: BSD-3-Clause
"""Many pieces of work on all cores, with progress, and with what is finished kept after Ctrl-C."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from typing import Any


class Pool:
    """Threads that fill a list in input order; after Ctrl-C the places of cases never run stay ``None``."""

    def __init__(self, jobs: int, progress: bool) -> None:
        self.jobs, self.progress, self.interrupted = jobs, progress, False

    def map(
        self, what: str, work: Callable[[int], dict[str, Any]], count: int
    ) -> list[dict[str, Any] | None]:
        from tqdm import tqdm

        results: list[dict[str, Any] | None] = [None] * count
        if self.interrupted:
            return results
        with ThreadPoolExecutor(self.jobs) as pool:
            futures: dict[Future[dict[str, Any]], int] = {pool.submit(work, i): i for i in range(count)}
            try:
                for future in tqdm(
                    as_completed(futures), what, count, unit="", disable=None if self.progress else True
                ):
                    future.result()
            except BaseException as error:
                pool.shutdown(wait=True, cancel_futures=True)
                self.interrupted = isinstance(error, KeyboardInterrupt)
                if not self.interrupted:
                    raise
        for future, i in futures.items():
            if not future.cancelled() and future.exception() is None:
                results[i] = future.result()
        return results
