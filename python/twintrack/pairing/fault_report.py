# SPDX-License-Identifier: BSD-3-Clause
"""The results of a study of every single wiring fault, in words, tallies and rows; worst first."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from . import interest
from .fault_effects import EFFECTS
from .interest import Pick

if TYPE_CHECKING:
    import pandas as pd

    from ..studies.study import Study


def ordered(table: pd.DataFrame) -> pd.DataFrame:
    """The cases with a fault that were run: unsafe, unseen, seen, harmless; within each the worst first."""
    cases = table[(table["fault"] != "") & (table["effect"] != "")]
    rank = cases["effect"].map({effect: rank for rank, effect in enumerate(EFFECTS)})
    errors = cases[["error_rest", "error_half", "error_full"]].abs().max(axis=1)
    size = errors.where(cases["effect"] == "wrong, unseen", cases["unasked_opening"])
    cases = cases.assign(rank=rank, size=size.fillna(0.0))
    return cases.sort_values(["rank", "size"], ascending=[True, False], kind="stable")


def headline(table: pd.DataFrame) -> str:
    """The answer of the whole study in a few sentences."""
    cases = ordered(table)
    counts = {effect: int((cases["effect"] == effect).sum()) for effect in EFFECTS}
    pairs = len(table[["pedal", "body"]].drop_duplicates())
    of = f"Of {len(cases)} single wiring faults on {pairs} pair{'s' if pairs != 1 else ''} "
    text = [
        of + f"{counts['seen, motor off']} are seen and take the motor's power away, "
        f"{counts['no effect']} change nothing, {counts['wrong, unseen']} make the blade WRONG without being "
        f"seen, and {counts['unsafe']} are UNSAFE."
    ]
    seen = cases["seen_after_ms"].dropna()
    if len(seen):
        half, last = seen.median(), seen.max()
        text.append(f"Half of those that are seen are seen within {half:.0f} ms, all within {last:.0f} ms.")
    if missing := int((table["status"] == "not run").sum()):
        text.append(f"Cases not run: {missing}.")
    return " ".join(text)


def tally(table: pd.DataFrame) -> list[tuple[str, dict[str, int]]]:
    """Number of faults by pair and effect."""
    cases = ordered(table)
    return [
        (f"{pedal} + {body}", {effect: int((group["effect"] == effect).sum()) for effect in EFFECTS})
        for (pedal, body), group in cases.groupby(["pedal", "body"], sort=False)
    ]


def rows(table: pd.DataFrame, most: int = 400) -> dict[str, Any]:
    """One row a fault, as the report shows it."""
    cases = ordered(table)
    found = [
        {
            "answer": EFFECTS[row["effect"]],
            "effect": row["effect"],
            "pair": f"{row['pedal']} + {row['body']}",
            "fault": row["fault"],
            "reads": row["reads"],
            "seen": _seen(row),
            "blade": _blade(row),
        }
        for _, row in cases.head(most).iterrows()
    ]
    return {"rows": found, "more": max(0, len(cases) - most), "pairs": len(tally(table))}


def _seen(row: pd.Series) -> str:
    if not row["seen_by"]:
        return "by no check"
    return f"{row['seen_by']} after {row['seen_after_ms']:.0f} ms"


def _blade(row: pd.Series) -> str:
    if math.isnan(row["furthest_opening"]):
        return ""
    text = f"up to {100 * row['furthest_opening']:.0f} %, at last {100 * row['final_opening']:.0f} %"
    if row["effect"] == "unsafe":
        beyond, seconds = 100 * row["unasked_opening"], row["unasked_time_s"]
        text += f"; beyond what the foot asks by {beyond:.0f} %, for {seconds:.2f} s"
    return text


def picks(study: Study, table: pd.DataFrame) -> list[Pick]:
    """The cases of any study whose traces are kept and shown."""
    return interest.choose(table) if study.every_fault_from is None else choose(table)


def choose(table: pd.DataFrame) -> list[Pick]:
    """The cases that deserve a picture: the pair as it is, and the worst of each effect."""
    healthy = table.index[(table["fault"] == "") & (table["status"] != "not run")]
    picks = [Pick(int(healthy[0]), "the wiring as it should be")] if len(healthy) else []
    cases = ordered(table)
    for effect, why in (
        ("unsafe", "the worst unsafe fault"),
        ("wrong, unseen", "the worst fault that no check sees"),
        ("seen, motor off", "a fault that is seen in time"),
    ):
        which = cases.index[cases["effect"] == effect]
        if len(which):
            picks.append(Pick(int(which[0]), why))
    return picks
