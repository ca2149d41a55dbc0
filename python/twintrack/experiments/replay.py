# SPDX-License-Identifier: BSD-3-Clause
"""One case run again, alone: in words, as a trace and as a plot. The trace is of the exact solver."""

from __future__ import annotations

import importlib.util
import textwrap
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError, listing
from ..files import freeze_frame, traces
from ..pages.text_table import text_table
from ..studies.fault_text import fault_text
from ..tolerances.describe import drawn
from . import chunk
from .learns import Learns
from .plan import Plan

if TYPE_CHECKING:
    from matplotlib.figure import Figure


class Replay:
    """``case`` and ``result`` of the core, from the stored ``row``; ``differences`` from what is stored."""

    def __init__(self, plan: Plan, number: int, row: dict[str, Any]) -> None:
        self.plan, self.number, self.row = plan, number, row
        self.draw = {name: row[name] for name in plan.names}
        try:
            self.case = plan.case(number, self.draw)
            learned = Learns(plan).of([number], [self.draw])[0]
            if isinstance(learned, str):
                raise _core.InvalidParameter(learned)
            self.learned = learned
            self.result: _core.CaseResult = _core.run_case(
                self.case, learned=self.learned, trace=True, **plan.study.own
            )
        except _core.InvalidParameter as error:
            raise InputError(f"case {number} was refused: {error}") from error

    @cached_property
    def _again(self) -> dict[str, Any]:
        """The row of the case, run again by the solver that ran it."""
        design = self.plan.design
        judges = [design.judge_of(self.plan.spec(self.number), self.case)] if design.rules else []
        (ran,) = _core.run_batch(
            [self.case],
            [self.learned],
            solver=self.row["solver"],
            rules=list(design.rules),
            judges=judges,
            signals=list(design.signals),
            **self.plan.study.own,
        )
        (row,) = chunk.rows_of(self.plan, [(self.number, self.case, self.learned)], [ran])
        return row

    @property
    def differences(self) -> list[str]:
        """Columns in which the case, run again, is not to the bit what is stored."""
        return [name for name in self._again if not _same(self._again[name], self.row[name])]

    @property
    def label(self) -> str:
        """Number and pair."""
        return f"case {self.number}: {self.plan.design.label(self.plan.spec(self.number))}"

    def plot(self) -> Figure:
        """Openings, tracks, duty and current over time."""
        from ..pages.plot import Mark, run_plot

        marks = [Mark(code.confirmed, code.text) for code in self.result.codes]
        trace = traces.to_pandas(self.result.record)
        limit = self.plan.design.hazard[0]
        return run_plot(
            trace,
            title=self.label,
            subtitle=textwrap.fill(self.result.sentence, 120),
            marks=marks,
            unasked_limit=limit,
        )


def _same(a: Any, b: Any) -> bool:
    return bool(a == b or (a != a and b != b))


def describe(replay: Replay) -> str:
    """What was drawn, what became of it, and whether it is what is stored."""
    plan, row = replay.plan, replay.row
    rows = [[t.parameter, drawn(plan.study, t, replay.draw[t.parameter])] for t in plan.tolerances]
    lines = [
        f"{plan.study.title}, {replay.label}",
        f"seed {plan.seed}, noise of case {plan.noise(replay.number)}",
    ]
    lines += ["", text_table(["parameter", "drawn"], rows)] if rows else []
    lines += ["", *(f"fault: {fault_text(fault)}" for fault in replay.case.faults_of_run)]
    lines.append(replay.result.sentence)
    lines.append(
        f"response {row['response']}, hazard {'yes' if row['hazard'] else 'no'}, "
        f"detection {row['detection']}, reaction {row['reaction']}"
    )
    lines += ["", *map(freeze_frame.text, freeze_frame.frames(replay.result, tracks(replay.case)))]
    compared = f"differs in {listing(replay.differences)}" if replay.differences else "identical to the bit"
    return "\n".join(
        [*lines, "", f"Comparison with the stored result (solver: {row['solver']}): {compared}.", ""]
    )


def tracks(case: _core.Case) -> dict[str, int]:
    """How many tracks the pedal and the throttle have."""
    return {"pedal": len(case.parameters.pedal.tracks), "throttle": len(case.parameters.body.tracks)}


def write(replay: Replay, folder: Path, mdf4: bool = False) -> list[Path]:
    """Trace and plot; returns their paths. Raises :class:`InputError` when they cannot be written."""
    trace = folder / f"case-{replay.number:09d}.parquet"
    written = [trace, trace.with_suffix(".png")]
    if mdf4 and importlib.util.find_spec("asammdf") is None:
        raise InputError(
            "MDF4 traces need the package asammdf, which is not installed: pip install 'twintrack[mdf]'"
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        about = traces.about(replay.plan.study.title, replay.label, replay.result)
        traces.write_parquet(replay.result.record, trace, about)
        replay.plot().savefig(written[1], dpi=110)
        if mdf4:
            written.append(trace.with_suffix(".mf4"))
            traces.write_mdf4(replay.result.record, written[2], about)
    except OSError as error:
        raise InputError(f"{folder}: cannot be written: {error.strerror or error}") from error
    return written
