# SPDX-License-Identifier: BSD-3-Clause
"""Response of pedals with throttle bodies by learn state; or every single wiring fault of each pair."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ... import _core
from ...pages.section import Cell, Section, Table
from .. import idle_columns
from ..design import Design, Spec
from ..shown import traces
from . import interest, summary, wiring

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Pairing(Design):
    """Pairs × learn states, and × wiring faults where the study asks for every single one."""

    name = "pairing"

    @property
    def faulty(self) -> bool:
        return self.study.every_fault_from is not None

    @property
    def signals(self) -> tuple[str, ...]:
        return wiring.SIGNALS if self.faulty else ()

    def empty(self) -> dict[str, Any]:
        return super().empty() | (wiring.EMPTY if self.faulty else {})

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        row = super().measure(spec, case, learned, ran)
        if self.faulty and ran.result:
            faults = case.faults_of_run
            start = min((fault.start for fault in faults), default=math.inf)
            row |= wiring.columns(ran.result, case.parameters, start)
        return row

    def headline(self, table: pd.DataFrame) -> str:
        text = wiring.headline(table) if self.faulty else summary.headline(table)
        return f"{text} {idle_columns.headline(table)}" if self.study.engine else text

    def tally(self, table: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
        if self.faulty:
            return ["", *wiring.GRADES], [[pair, *map(str, c.values())] for pair, c in wiring.tally(table)]
        head = ["", "right", "no response", "WRONG", "UNCOMMANDED", "not run"]
        return head, [[summary.GROUPS[n], *map(str, c.values())] for n, c in summary.tally(table).items()]

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        if self.faulty:
            picks, found = wiring.picks(table), wiring.sections(self, table)
        else:
            picks = interest.choose(table)
            found = [Section("Response of every pair", summary.matrices(table))]
            if (bad := _bad(table)).rows:
                found.append(Section("Wrong and uncommanded", [bad]))
            if (refused := _refused(table)).rows:
                found.append(Section("Refused learns", [refused]))
        if self.study.engine:
            found.insert(1, Section("Idle of every case", [idle_columns.table(table)]))
        why = {pick.number: pick.why for pick in picks}
        shown = traces(result, why)
        return [*found, Section("Traces", shown)] if shown else found


def _bad(table: pd.DataFrame) -> Table:
    """The wrong and uncommanded responses, worst first; the same swap gives one row with its worst case."""
    bad = table[table["response"].isin(["wrong", "uncommanded"])]
    bad = bad.assign(bad=interest.badness(bad), group=summary.group(bad))
    bad = bad.sort_values("bad", ascending=False, kind="stable")
    bad["swap"] = [_swap(row) for _, row in bad.iterrows()]
    rows = [
        (
            Cell(str(response)),
            swap,
            len(cases),
            f"{cases.iloc[0]['pedal']} + {cases.iloc[0]['body']}",
            int(cases.index[0]),
            cases.iloc[0]["sentence"],
            cases.iloc[0]["codes"] or "none",
        )
        for (response, swap), cases in bad.groupby(["response", "swap"], sort=False)
    ]
    head = ["response", "what was exchanged", "cases", "worst pair", "case", "its run", "trouble codes"]
    return Table(head, rows, "The worst of each exchange first")


def _refused(table: pd.DataFrame) -> Table:
    """The learns that were refused, once a pair, and why."""
    refused = table[table["learn_accepted"].eq(False).fillna(False).astype(bool)]
    pairs = refused.sort_values("learn", kind="stable").drop_duplicates(
        ["learned_pedal", "learned_body", "learn_disturbance"]
    )
    rows = [(summary.learned(row), row["learn_reason"]) for _, row in pairs.iterrows()]
    return Table(["learned with", "reason"], rows)


def _swap(row: pd.Series) -> str:
    if row["group"] in ("pedal", "body"):
        return f"{row['group']} {row[row['group']]} instead of {row['learned_' + row['group']]}"
    if row["group"] == "faulty":
        return f"learned with: {row['learn_disturbance']}"
    return summary.GROUPS[row["group"]]
