# SPDX-License-Identifier: BSD-3-Clause
"""One case of a campaign run again, alone: in words, as a trace and as a plot."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError
from ..files import traces
from ..pages.text_table import text_table
from . import execute
from .describe import drawn
from .plan import Plan

if TYPE_CHECKING:
    from matplotlib.figure import Figure


class Replay:
    """``case`` and ``result`` of the core, from the stored ``row``; ``differences`` from what is stored."""

    def __init__(self, plan: Plan, number: int, row: dict[str, Any]) -> None:
        self.plan, self.number, self.row = plan, number, row
        self.draw = {name: row[name] for name in plan.names}
        self.faults = plan.faults(number, self.draw)
        try:
            self.case = plan.case(number, self.draw)
        except _core.InvalidParameter as error:
            raise InputError(f"case {number} was refused: {error}") from error
        learned = plan.learned(number, self.draw)
        self.result: _core.CaseResult = _core.run_case(self.case, learned=learned, trace=True)
        self._again = execute.row_of(plan, self.faults, self.case, learned, self.result)

    @property
    def differences(self) -> list[str]:
        """Columns in which the replay is not what is stored; empty when all are equal.

        All of them, to the bit, when the exact engine ran the campaign too; of a case that ran in lanes its
        verdicts.
        """
        names = [name for name in self._again if name != "engine"]
        if self.row["engine"] == "lanes":
            names = [n for n in names if n in _VERDICTS or n.startswith("rule: ")]
        return [name for name in names if not _same(self._again[name], self.row[name])]

    @property
    def label(self) -> str:
        """Number and pair."""
        return f"case {self.number}: {self.plan.pairing(self.number).label}"

    def plot(self) -> Figure:
        """Openings, tracks, duty and current over time."""
        from ..pages.plot import Mark, run_plot

        marks = [Mark(code.confirmed, code.text) for code in self.result.codes]
        trace = traces.to_pandas(self.result.record)
        limit = _core.limits()["unasked"][0]
        return run_plot(
            trace,
            title=self.label,
            subtitle=textwrap.fill(self.result.sentence, 120),
            marks=marks,
            unasked_limit=limit,
        )


#: What the lanes must give as the exact engine does.
_VERDICTS = ("answer", "codes", "effect", "learn_accepted", "rules_failed", "status")


def _same(a: Any, b: Any) -> bool:
    return bool(a == b or (a != a and b != b))


def describe(replay: Replay) -> str:
    """What was drawn, what became of it, and whether it is what is stored."""
    plan = replay.plan
    rows = [[t.parameter, drawn(plan, t, replay.draw[t.parameter])] for t in plan.tolerances]
    lines = [f"{plan.study.title}, {replay.label}", f"seed {plan.seed}, noise of case {replay.number}", ""]
    if rows:
        lines += [text_table(["parameter", "drawn"], rows), ""]
    lines += [f"fault: {fault!r}" for fault in replay.faults]
    lines.append(replay.result.sentence)
    same = "the same verdicts" if replay.row["engine"] == "lanes" else "the same, to the bit"
    told = same if not replay.differences else f"NOT {same}"
    engine = replay.row["engine"]
    return "\n".join([*lines, f"Beside what the campaign stored (engine: {engine}): {told}.", ""])


def write(replay: Replay, folder: Path) -> list[Path]:
    """Trace and plot; returns their paths. Raises :class:`InputError` when they cannot be written."""
    trace = folder / f"case-{replay.number:09d}.parquet"
    picture = trace.with_suffix(".png")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        about = traces.about(replay.plan.study.title, replay.label, replay.result)
        traces.write_parquet(replay.result.record, trace, about)
        replay.plot().savefig(picture, dpi=110)
    except OSError as error:
        raise InputError(f"{folder}: cannot be written: {error.strerror or error}") from error
    return [trace, picture]
