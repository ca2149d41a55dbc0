# SPDX-License-Identifier: BSD-3-Clause
"""How often, how sure, how soon: shares with their intervals, and times until a fault was detected."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from ..interval import wilson
from ..pages.severity import GRADES, LOOKS

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

#: The columns that say what a case came to, and those that say how bad it is.
NEEDED = ("grade", "response", "status")
WORST = (*NEEDED, "unasked_opening", "error_rest", "error_half", "error_full")


class Share(NamedTuple):
    """``hits`` of ``total``; ``low`` … ``high`` is the confidence interval of the probability."""

    hits: int
    total: int
    low: float
    high: float

    @property
    def estimate(self) -> float:
        return self.hits / self.total


def share(hits: int, total: int) -> Share:
    """``hits`` among ``total`` independent cases, with Wilson's interval for 95 % confidence.

    Of a Sobol or Latin sample, which fills the space more evenly than chance does, it is on the safe side.
    """
    return Share(hits, total, *wilson(hits, total))


def shares(table: pd.DataFrame, column: str = "grade") -> dict[str, Share]:
    """Probability of each word of a column of severity among the completed cases, worst first.

    ``table`` needs that column and ``status``; with a column ``cases`` each row counts for so many.
    """
    done = table[table["status"] == "completed"]
    each = done["cases"] if "cases" in done else done["status"].map(lambda _: 1)
    counts = each.groupby(done[column]).sum()
    total = int(counts.sum())
    order = [word for word in LOOKS if word in counts.index and word]
    return {word: share(int(counts[word]), total) for word in order}


def rule_share(table: pd.DataFrame, column: str) -> Share | None:
    """Probability that a rule fails, among the cases to which it applies; ``None`` when it applies to none.

    ``table`` counts the ``cases`` of each finding in ``column``.
    """
    counts = table.groupby(column)["cases"].sum()
    failed, passed = (int(counts.get(finding, 0)) for finding in ("failed", "passed"))
    return share(failed, failed + passed) if failed + passed else None


class Detection(NamedTuple):
    """Times from the first fault to the first trouble code [s], of the cases in which there was one."""

    seen: Share
    median: float
    p95: float
    p99: float
    longest: float


def detection(times: NDArray[np.float64], faulty: int) -> Detection | None:
    """``times`` [s] of the cases whose fault was detected, of ``faulty`` ones; ``None`` for none."""
    if not faulty:
        return None
    quantiles = np.quantile(times, [0.5, 0.95, 0.99, 1.0]) if len(times) else np.full(4, np.nan)
    return Detection(share(len(times), faulty), *map(float, quantiles))


def worst(table: pd.DataFrame, most: int = 20) -> pd.DataFrame:
    """Cases of highest severity first: by grade, then by what was opened uncommanded or by how far off."""
    rank = table["grade"].map({word: i for i, word in enumerate(GRADES)})
    errors = table[["error_rest", "error_half", "error_full"]].abs().max(axis=1)
    size = errors.where(~table["grade"].isin(["hazard", "late"]), table["unasked_opening"]).fillna(0.0)
    order = table.assign(rank=rank, size=size)[(table["status"] == "completed") & rank.notna()]
    order = order.sort_values(["rank", "size"], ascending=[True, False], kind="stable")
    return order.head(most).drop(columns="rank")
