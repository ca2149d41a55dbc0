# SPDX-License-Identifier: BSD-3-Clause
"""Campaigns from a program."""

from __future__ import annotations

from pathlib import Path

from . import drive as driver
from .plan import load
from .results import Results


def campaign(
    study: str | Path,
    *,
    cases: int,
    out: str | Path,
    jobs: int | None = None,
    scheduler: str | None = None,
    engine: str = "lanes",
    chunk: int | None = None,
    progress: bool = True,
) -> Results:
    """Runs the cases of a study that are not finished yet, and returns all that are, read lazily.

    ``study`` is the path of a study file whose ``[tolerances]`` say what scatters; ``cases`` how many there
    shall be. ``out`` gets one Parquet file for each ``chunk`` of cases as soon as it is finished: call it
    again after whatever stopped it and it goes on, call it with more cases and only the new ones are run.
    ``engine`` is "lanes" (cases that can run in SIMD lanes do, many side by side, in fixed steps; the column
    ``engine`` says which) or "exact" (error-controlled, the reference; slower).
    ``jobs`` is the number of threads (default: one a core); the GIL is released while a case runs.
    ``scheduler`` is the address of a Dask scheduler whose workers do it instead. The results depend on
    neither. Ctrl-C returns what is finished.

    Raises :class:`InputError` when the study has a mistake, or ``out`` holds results of another one or cannot
    be written; :class:`RuntimeError` when pieces of work keep failing, with the finished ones kept.
    """
    if cases < 1 or (chunk is not None and chunk < 1) or (jobs is not None and jobs < 1):
        from ..errors import InputError

        raise InputError("'cases', 'chunk' and 'jobs' must be 1 or more")
    done = driver.drive(
        load(study, engine), Path(out), cases, jobs=jobs, scheduler=scheduler, chunk=chunk, progress=progress
    )
    if done.failures:
        raise RuntimeError("not finished, the rest is kept: " + "; ".join(done.failures))
    return Results(out)


def campaign_results(folder: str | Path) -> Results:
    """The results in a folder; raises :class:`InputError` when there are none."""
    return Results(folder)
