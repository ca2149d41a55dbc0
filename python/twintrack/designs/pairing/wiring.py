# SPDX-License-Identifier: BSD-3-Clause
"""What one wiring fault did in one run: what the tracks read, which check detected it, where the blade went.

Shares are of travel. The readings are means over the 50 ms before the fault and from 1 to 6 ms after it, at
the pins: the blade has hardly moved by then, whatever the controller makes of them.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from ... import _core
from ...pages import severity
from ...pages.section import Cell, Picture, Section, Table
from .interest import Pick

if TYPE_CHECKING:
    import pandas as pd

SIGNALS = (*(f"{a}.track{k}" for a in ("pedal", "throttle") for k in (1, 2, 3)), "blade.opening")

#: The columns that :func:`columns` fills, with what stands there for a case that was not run.
EMPTY: dict[str, Any] = {"reads": "", "detected_by": "", "furthest_opening": math.nan}

#: Grades that a fault can come to.
GRADES = ("hazard", "late", "missed", "in time", "not needed")

_NOTICEABLE = 0.05  # V


def columns(result: Any, parameters: _core.BenchParameters, start: float) -> dict[str, Any]:
    """The columns of one case; ``result`` carries its record, ``start`` [s] is when the fault came."""
    record = result.record
    after = record.time >= start
    code = next((c for c in result.codes if c.confirmed >= start), None)
    return {
        "reads": _reads(record, parameters, start) if after.any() else "",
        "detected_by": code.text if code else "",
        "furthest_opening": float(record["blade.opening"][after].max()) if after.any() else math.nan,
    }


def _reads(record: _core.Record, parameters: _core.BenchParameters, start: float) -> str:
    """``"pedal 1: 2.31 → 0.00 V, throttle 2: 1.20 → 4.98 V"``: the tracks whose reading changed."""
    before = (record.time >= start - 0.05) & (record.time < start)
    after = (record.time >= start + 0.001) & (record.time < start + 0.006)
    changed = []
    for assembly, part in (("pedal", parameters.pedal), ("throttle", parameters.body)):
        for k in range(1, len(part.tracks) + 1):
            volts = record[f"{assembly}.track{k}"]
            was, now = float(np.mean(volts[before])), float(np.mean(volts[after]))
            if abs(now - was) > _NOTICEABLE:
                changed.append(f"{assembly} {k}: {was:.2f} → {now:.2f} V")
    return ", ".join(changed) or "as before"


def ordered(table: pd.DataFrame) -> pd.DataFrame:
    """The cases with a fault that were run, worst first."""
    cases = table[(table["fault"] != "") & (table["status"] == "completed")]
    rank = cases["grade"].map({grade: rank for rank, grade in enumerate(severity.GRADES)})
    errors = cases[["error_rest", "error_half", "error_full"]].abs().max(axis=1)
    size = errors.where(cases["grade"] == "missed", cases["unasked_opening"])
    cases = cases.assign(rank=rank, size=size.fillna(0.0))
    return cases.sort_values(["rank", "size"], ascending=[True, False], kind="stable")


def headline(table: pd.DataFrame) -> str:
    """The answer of the whole study in a few sentences."""
    cases = ordered(table)
    n = cases["grade"].value_counts()
    pairs = len(table[["pedal", "body"]].drop_duplicates())
    hazards = int(cases["hazard"].sum())
    text = [
        f"Of {len(cases)} single wiring faults on {pairs} pair{'s' if pairs != 1 else ''} {hazards} are a "
        f"HAZARD ({n.get('late', 0)} of them detected late), {n.get('missed', 0)} make the response WRONG "
        f"undetected, {n.get('in time', 0)} are detected in time and {n.get('not needed', 0)} change nothing."
    ]
    after = 1000 * cases["detected_after_s"].dropna()
    if len(after):
        text.append(f"Detection time: median {after.median():.0f} ms, longest {after.max():.0f} ms.")
    off = cases[(cases["grade"] == "in time") & ~cases["reaction"].isin(["motor off", "engine off"])]
    if len(off):
        text.append(f"Of those detected in time {len(off)} leave the motor its power.")
    if missing := int((table["status"] != "completed").sum()):
        text.append(f"Cases not completed: {missing}.")
    return " ".join(text)


def tally(table: pd.DataFrame) -> list[tuple[str, dict[str, int]]]:
    """Number of faults by pair and grade."""
    return [
        (f"{pedal} + {body}", {grade: int((group["grade"] == grade).sum()) for grade in GRADES})
        for (pedal, body), group in ordered(table).groupby(["pedal", "body"], sort=False)
    ]


def picks(table: pd.DataFrame) -> list[Pick]:
    """The cases that deserve a picture: the pair as it is, and the worst of each grade."""
    healthy = table.index[(table["fault"] == "") & (table["status"] == "completed")]
    found = [Pick(int(healthy[0]), "Correct wiring")] if len(healthy) else []
    cases = ordered(table)
    for grade, why in (
        ("hazard", "The worst hazard that no check detects"),
        ("late", "The worst hazard that is detected late"),
        ("missed", "The worst fault that no check detects"),
        ("in time", "A fault that is detected in time"),
    ):
        which = cases.index[cases["grade"] == grade]
        found += [Pick(int(which[0]), why)] if len(which) else []
    return found


def sections(design: Any, table: pd.DataFrame) -> list[Section]:
    """Every fault, and the wiring of those that are shown."""
    from ...pages.page import svg
    from ...wirings.wiring import Wiring

    rows = [_row(row) for _, row in ordered(table).iterrows()]
    head = ["grade", "pair", "fault", "tracks read", "detected by", "after [ms]", "reaction", "blade"]
    drawn = []
    for pick in picks(table):
        pairing = design.specs[pick.number].pairing
        figure = Wiring(design.study.parameters(pairing.pedal, pairing.body, pick.number)).plot(pairing.fault)
        title = pick.why if pairing.fault is None else f"{pick.why}: {pairing.fault.text}"
        drawn.append(Picture(title, svg(figure)))
    return [
        Section("Every single wiring fault", [Table(head, rows, "Highest severity first")]),
        Section("Wiring", drawn),
    ]


def _row(row: pd.Series) -> tuple[Any, ...]:
    late = "" if math.isnan(row["detected_after_s"]) else round(1000 * row["detected_after_s"])
    return (
        Cell(row["grade"]),
        f"{row['pedal']} + {row['body']}",
        row["fault"],
        row["reads"],
        row["detected_by"] or "no check",
        late,
        row["reaction"],
        _blade(row),
    )


def _blade(row: pd.Series) -> str:
    if math.isnan(row["furthest_opening"]):
        return ""
    text = f"up to {100 * row['furthest_opening']:.0f} %, at last {100 * row['final_opening']:.0f} %"
    if row["hazard"]:
        beyond, seconds = 100 * row["unasked_opening"], row["unasked_time_s"]
        text += f"; beyond what the foot asks by {beyond:.0f} %, for {seconds:.2f} s"
    return text
