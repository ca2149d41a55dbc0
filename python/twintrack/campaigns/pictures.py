# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of a campaign's results. Every function returns a matplotlib figure and computes nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from matplotlib.figure import Figure
from matplotlib.ticker import LogLocator, NullFormatter

from ..pages.matrix import LOOKS
from ..pages.plot import BLUE, GRID, INK, ORANGE, RED, SOFT
from ..pairing.fault_effects import EFFECTS
from .sensitivity import CHANCE
from .statistics import Share

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes


#: The answer whose looks each verdict takes.
ANSWERS = {**EFFECTS, "right": "right", "none": "none", "wrong": "wrong"}


def _furnish(ax: Axes) -> None:
    ax.tick_params(labelsize=8.5, colors=INK, length=2.5)
    ax.spines[["top", "right"]].set_visible(False)
    ax.spines[["left", "bottom"]].set_color(GRID)
    ax.grid(axis="x", color=GRID, lw=0.6)
    ax.set_axisbelow(True)


def shares_plot(shares: Mapping[str, Share]) -> Figure:
    """Probability of each verdict with its interval."""
    figure = Figure(figsize=(8.4, 0.9 + 0.42 * len(shares)), layout="constrained")
    ax = figure.subplots()
    for y, (word, share) in enumerate(shares.items()):
        look = LOOKS[ANSWERS[word]]
        ax.barh(y, 100 * share.estimate, height=0.62, color=look.fill, edgecolor=SOFT, lw=0.6)
        ax.plot([100 * share.low, 100 * share.high], [y, y], color=INK, lw=1.6, marker="|", ms=9)
        text = f" {100 * share.estimate:.3g} %  ({100 * share.low:.2g} … {100 * share.high:.2g} %)"
        ax.text(100 * share.high + 0.5, y, text, va="center", fontsize=8.5, color=INK)
    ax.set_yticks(range(len(shares)), list(shares))
    ax.invert_yaxis()
    ax.set(xlim=(0, 128), xticks=range(0, 101, 20))
    ax.set_xlabel("probability [%], bar: share of the cases, line: 95 % interval", fontsize=8.5, color=INK)
    _furnish(ax)
    return figure


def detection_plot(times: Sequence[float]) -> Figure:
    """Share of the seen faults that were seen within a time, over that time [s] on a logarithmic axis."""
    figure = Figure(figsize=(8.4, 3.0), layout="constrained")
    ax = figure.subplots()
    milliseconds = [1000 * time for time in times]
    ax.ecdf(milliseconds, color=BLUE, lw=1.9)
    for share, dashes in ((0.5, "--"), (0.95, ":")):
        ax.axhline(share, color=SOFT, lw=0.9, ls=dashes)
        ax.annotate(f"{100 * share:.0f} %", (1.0, share), xycoords=("axes fraction", "data"), fontsize=8,
                    xytext=(3, 0), textcoords="offset points", va="center", color=SOFT)  # fmt: skip
    if min(milliseconds) > 0:
        ax.set_xscale("log")
        ax.xaxis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
        ax.xaxis.set_major_formatter(lambda value, _: f"{value:g}")
        ax.xaxis.set_minor_formatter(NullFormatter())
    ax.set_xlabel("time from the fault to the first trouble code [ms]", fontsize=8.5, color=INK)
    ax.set_ylabel("share of the seen ones", fontsize=8.5, color=INK)
    ax.set_ylim(0, 1.02)
    _furnish(ax)
    return figure


def sensitivity_plot(indices: pd.DataFrame, most: int = 12) -> Figure:
    """The weightiest parameters: PAWN as bars, with what chance gives as a line; S₁ with its interval
    beside."""
    shown = indices.drop(index=CHANCE).head(most)
    figure = Figure(figsize=(8.4, 1.0 + 0.34 * len(shown)), layout="constrained")
    left, right = figure.subplots(1, 2, sharey=True)
    places = range(len(shown))
    left.barh(places, shown["PAWN"], height=0.62, color=BLUE)
    left.axvline(indices.loc[CHANCE, "PAWN"], color=RED, lw=1.2, ls="--")
    left.annotate("chance", (indices.loc[CHANCE, "PAWN"], 1.0), xycoords=("data", "axes fraction"),
                  xytext=(3, 2), textcoords="offset points", fontsize=8, color=RED)  # fmt: skip
    left.set_yticks(places, list(shown.index))
    left.invert_yaxis()
    left.set_xlabel("PAWN: how far the outcome's distribution moves", fontsize=8.5, color=INK)
    right.errorbar(
        shown["S1"], places, xerr=shown["S1_conf"], fmt="o", color=ORANGE, ecolor=INK, elinewidth=1.2, ms=5
    )
    right.axvline(0, color=SOFT, lw=0.8)
    right.set_xlabel("S₁: share of its variance, with 95 % interval", fontsize=8.5, color=INK)
    for ax in (left, right):
        _furnish(ax)
    return figure
