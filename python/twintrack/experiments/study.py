# SPDX-License-Identifier: BSD-3-Clause
"""A study in a program: loaded or made, run, and asked for its results."""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ..errors import InputError
from ..files.toml_file import TomlFile
from ..studies import own_controller
from ..studies.own_controller import Given
from .drive import drive
from .plan import Plan, load
from .result import Result


class Study:
    """What is asked: a study with its design. ``len(study)`` is its number of cases.

    >>> study = tt.Study.load("examples/pairing.toml")
    >>> result = study.run(out="results")
    >>> result.to_pandas()
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan

    @staticmethod
    def load(path: str | Path, *, solver: str = "lanes") -> Study:
        """Reads and checks a study file. ``solver``: "lanes" (cases that lanes can take run there, many side
        by side in fixed steps; the column ``solver`` says which) or "exact" (error-controlled; slower).

        Raises :class:`InputError` at the first error.
        """
        return Study(load(path, solver))

    @staticmethod
    def make(*, solver: str = "lanes", **table: Any) -> Study:
        """A study without a file; the keywords are the keys of a study file.

        For example ``tt.Study.make(pedals=["half-slope-low"], bodies=["all"])``; a table is a ``dict``.
        """
        return Study(load(TomlFile(Path("study"), table), solver))

    def __len__(self) -> int:
        return self.plan.cases

    def __repr__(self) -> str:
        return f"<Study {self.plan.study.title!r}: {self.plan.design.name}, {len(self)} cases>"

    def _repr_html_(self) -> str:
        """For notebooks: what is asked."""
        from ..pages import cards

        return cards.study(self.plan, self.plan.solver, len(self))

    def run(
        self,
        out: str | Path | None = None,
        *,
        cases: int | None = None,
        jobs: int | None = None,
        scheduler: str | None = None,
        progress: bool = True,
        unit: Given | Mapping[str, Given] | None = None,
    ) -> Result:
        """Runs the cases that are not finished yet, and returns all that are, read lazily.

        ``out`` gets a file for each few seconds of work as soon as it is finished: call it again after
        whatever stopped it and it goes on, call it with more ``cases`` and only the new ones are run. Without
        it a folder is made that goes with the result. ``jobs`` is the number of threads (default: one a
        core); ``scheduler`` is the address of a Dask scheduler whose workers do it instead. The results
        depend on neither. Ctrl-C returns what is finished.

        ``unit`` replaces the built-in controller in every case: a factory ``(LearnedRange or None,
        BenchParameters, period [s])`` to an object with ``step(ControlInput) -> Command``, its name
        "module:factory", or the path of a shared object in C (``*.so``). A dict by role, of "controller",
        "monitor" (``step(ControlInput, Command) -> MonitorAnswer``) and "learn" (``step(ControlInput)`` to a
        ``Command`` or a ``LearnAnswer``), replaces each of them alone. With a controller or a monitor of
        one's own all cases run in the exact solver; a case whose unit fails has the status "unit failed".

        Raises :class:`InputError` when ``out`` holds results of another study or cannot be written;
        :class:`RuntimeError` when pieces of work keep failing, with the finished ones kept.
        """
        for name, value in (("cases", cases), ("jobs", jobs)):
            if value is not None and value < 1:
                raise InputError(f"{name!r} must be 1 or more")
        folder = Path(tempfile.mkdtemp(prefix="twintrack-") if out is None else out)
        plan = self.plan
        plan = plan.with_units(own_controller.units(unit))
        done = drive(plan, folder, cases, jobs=jobs, scheduler=scheduler, progress=progress)
        if done.failures:
            raise RuntimeError("not finished, the rest is kept: " + "; ".join(done.failures))
        result = Result(folder, plan.study.units)
        result.interrupted = done.interrupted
        if out is None:
            weakref.finalize(result, shutil.rmtree, folder, ignore_errors=True)
        return result
