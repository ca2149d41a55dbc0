# SPDX-License-Identifier: BSD-3-Clause
"""What a search found, in words and pictures; it never says "safe"."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...pages.section import Lines, Part, Section, Table
from ...search.coverage import CELLS, covered
from ..shown import traces

if TYPE_CHECKING:
    import pandas as pd

_NOTHING = "That says nothing about what was not tried."


def counted(table: pd.DataFrame) -> pd.DataFrame:
    """The cases that count."""
    return table[table["excluded"] == ""]


def headline(design: Any, table: pd.DataFrame) -> str:
    """The answer in a few sentences."""
    ran, name = counted(table), design.rule.name
    if not len(ran):
        return f"None of {len(table):,} runs counts."
    least, case = float(ran["sought_margin"].min()), int(str(ran["sought_margin"].idxmin()))
    shown = f"{100 * least:+.1f} % of the limit".replace("-", "−")
    quartiles = ", ".join(f"{100 * q:+.0f} %" for q in ran["sought_margin"].quantile([0.05, 0.5, 0.95]))
    spread = f"Of the margins 5, 50 and 95 % lie below {quartiles} of the limit.".replace("-", "−")
    if least >= 0:
        return (
            f"No counterexample to {name!r} found in {len(table):,} runs; least margin {shown}, case {case}. "
            f"{_NOTHING} {spread}"
        )
    first = int(str((ran["sought_margin"] < 0).idxmax()))
    broken = int((ran["sought_margin"] < 0).sum())
    return (
        f"COUNTEREXAMPLE to {name!r}: margin {shown}, case {case} of {len(table):,} runs; {broken} of them "
        f"break it, the first was run {first + 1}. {spread}"
    )


def sections(design: Any, result: Any, table: pd.DataFrame) -> list[Section]:
    """Counterexample, margins, coverage, the worst, traces."""
    ran = counted(table)
    found = []
    if (text := result.counterexample_text()) is not None:
        found.append(Section("Smallest counterexample", text))
    if not len(ran):
        return [*found, Section("Margins", ["None of the runs counts."])]
    found.append(Section("Margins", _margins(design, table, ran)))
    found.append(Section("Coverage of the search space", _coverage(result, table)))
    found.append(Section("Cases of least margin", [_worst(design, result, ran)]))
    worst = int(str(ran["sought_margin"].idxmin()))
    return [*found, Section("Traces", traces(result, {worst: "least margin"}))]


def _margins(design: Any, table: pd.DataFrame, ran: pd.DataFrame) -> list[Part]:
    x, shares = distribution(100 * ran["sought_margin"].to_numpy())
    spread = Lines(
        "Share of the runs whose margin is at most a value",
        *(x, {"share": shares}, "margin [% of the limit]", "share [%]"),
        [(0.0, "the limit")],
    )
    best = np.minimum.accumulate(np.where(table["excluded"] == "", table["sought_margin"], np.inf))
    rows = np.unique(np.linspace(0, len(best) - 1, 400).astype(int))
    rows = rows[np.isfinite(best[rows])]
    curve = (100 * best[rows]).round(3).tolist()
    progress = Lines(
        "Least margin so far", (rows + 1).tolist(), {"least margin": curve}, "runs", "margin [% of the limit]"
    )
    out = table.loc[table["excluded"] != "", "excluded"].value_counts()
    why = (
        [Table(["runs that do not count", "runs"], [(str(k), int(n)) for k, n in out.items()])]
        if len(out)
        else []
    )
    return [design.rule.sentence, spread, progress, *why]


def distribution(values: np.ndarray, most: int = 200) -> tuple[list[float], list[float]]:
    """The empirical distribution as a curve over rising values: a step where several are the same. At most
    ``most`` values, evenly spread by rank; shares in percent."""
    rising = np.sort(values)[np.unique(np.linspace(0, len(values) - 1, most).astype(int))].round(3)
    each = np.unique(rising)
    below = [100.0 * float(np.mean(values.round(3) < one)) for one in each]
    upto = [100.0 * float(np.mean(values.round(3) <= one)) for one in each]
    narrow = 1e-6 * max(float(each[-1] - each[0]), 1.0)  # a chart takes one value at a place
    x = np.column_stack([each - narrow, each]).ravel()
    return x.tolist(), np.column_stack([below, upto]).ravel().round(2).tolist()


def _coverage(result: Any, table: pd.DataFrame) -> list[Part]:
    tolerances = result.plan.tolerances
    from .design import axes

    of, names = axes(tolerances), [t.parameter for t in tolerances]
    shares = np.column_stack([share_of(t.distribution, table[t.parameter].to_numpy()) for t in tolerances])
    single, pairs = covered(shares, of)
    rows = [
        (name, axis.count or CELLS, f"{100 * s:.0f} %")
        for name, axis, s in zip(names, of, single, strict=True)
    ]
    text = (
        f"Each parameter's range is cut into {CELLS} cells of equal probability (a choice: its values). Of "
        f"the cells of all pairs of parameters {100 * pairs:.1f} % hold at least one run (2-way combination "
        "coverage, NIST SP 800-142). A search gathers runs where margins are small; the rest is thin."
    )
    return [text, Table(["parameter", "cells", "covered"], rows)]


def share_of(distribution: Any, drawn: np.ndarray) -> np.ndarray:
    """The shares that drawn values came from; of a choice the middle of its value's."""
    from scipy import stats

    from ...tolerances.distribution import Choice, Uniform

    if isinstance(distribution, Choice):
        upper = np.cumsum(distribution.weights)
        middle = upper - 0.5 * np.asarray(distribution.weights)
        index = {value: k for k, value in enumerate(distribution.values)}
        return np.array([middle[index[value]] for value in drawn.tolist()])
    d = distribution
    if isinstance(d, Uniform):
        return np.asarray((drawn - d.least) / (d.most - d.least))
    low = -np.inf if d.least is None else (d.least - d.mean) / d.deviation
    high = np.inf if d.most is None else (d.most - d.mean) / d.deviation
    return np.asarray(stats.truncnorm.cdf(drawn, low, high, loc=d.mean, scale=d.deviation))


def _worst(design: Any, result: Any, ran: pd.DataFrame) -> Table:
    names = result.plan.names
    rows = []
    for number, row in ran.nsmallest(20, "sought_margin", keep="first").iterrows():
        drawn = [f"{row[n]:.5g}" if isinstance(row[n], float) else str(row[n]) for n in names]
        margin = f"{100 * row['sought_margin']:+.2f} %".replace("-", "−")
        rows.append((int(str(number)), margin, row["codes"] or "none", *drawn))
    return Table(["case", "margin, of the limit", "trouble codes", *names], rows, "In SI units, as drawn")
