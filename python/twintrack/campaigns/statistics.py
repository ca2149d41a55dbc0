# SPDX-License-Identifier: BSD-3-Clause
"""How often, how sure, how soon: shares with their intervals, and times until a fault was seen."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from ..interval import wilson

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

#: Verdicts of a case with a fault come from ``effect``, those of one without from ``answer``.
VERDICTS = ("unsafe", "wrong, unseen", "wrong", "seen, motor off", "none", "no effect", "right")


#: The columns a verdict is made from, and those that say how bad it is.
NEEDED = ("effect", "answer", "status")
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


def verdict(table: pd.DataFrame) -> pd.Series:
    """One word a case: the effect of its fault, or the answer of a case without; "" for one that did not
    complete."""
    word = table["effect"].where(table["effect"] != "", table["answer"])
    return word.where(table["status"] == "completed", "")


def shares(table: pd.DataFrame) -> dict[str, Share]:
    """Probability of each verdict among the completed cases, worst first; those that never came are left out.

    ``table`` needs the columns of ``NEEDED``; with a column ``cases`` each row counts for so many.
    """
    words = verdict(table)
    each = table["cases"] if "cases" in table else words.map(lambda _: 1)
    counts = each.groupby(words).sum()
    total = int(counts.drop("", errors="ignore").sum())
    return {word: share(int(counts[word]), total) for word in VERDICTS if word in counts}


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
    """``times`` [s] of the cases whose fault was seen, of ``faulty`` ones; ``None`` when there are none."""
    if not faulty:
        return None
    quantiles = np.quantile(times, [0.5, 0.95, 0.99, 1.0]) if len(times) else np.full(4, np.nan)
    return Detection(share(len(times), faulty), *map(float, quantiles))


def worst(table: pd.DataFrame, most: int = 20) -> pd.DataFrame:
    """The worst cases first: by verdict, then by what was opened unasked or, unseen, by how far off."""
    words = verdict(table)
    rank = words.map({word: i for i, word in enumerate(VERDICTS)})
    errors = table[["error_rest", "error_half", "error_full"]].abs().max(axis=1)
    size = errors.where(words != "unsafe", table["unasked_opening"]).fillna(0.0)
    order = table.assign(verdict=words, rank=rank, size=size)
    order = order[order["rank"].notna()].sort_values(["rank", "size"], ascending=[True, False], kind="stable")
    return order.head(most).drop(columns="rank")
