# SPDX-License-Identifier: BSD-3-Clause
"""The pictures of an audit: faults by instants, one panel a set-up; and one fault under every set-up.

Findings differ in lightness as well as in hue, and each is also told by a symbol and a word.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from matplotlib.figure import Figure
from matplotlib.patches import Patch, Rectangle

from ..pages.matrix import Look
from ..pages.plot import BLUE, GRID, INK, ORANGE, PURPLE, RED, SOFT, TEAL
from .table import FINDINGS

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

LOOKS = {
    "missed": Look("#8e0b26", "#ffffff", "▲", FINDINGS["missed"]),
    "vain": Look("#e8952f", "#2c1a00", "◆", FINDINGS["vain"]),
    "caught": Look("#2f6da8", "#ffffff", "✔", FINDINGS["caught"]),
    "noticed": Look("#b9d6ea", "#12344f", "○", FINDINGS["noticed"]),
    "harmless": Look("#eef1f3", "#7d8891", "·", FINDINGS["harmless"]),
    "": Look("#ffffff", "#8a949d", "", FINDINGS[""]),
}

_DASHES = ("-", "--", "-.", ":", (0, (6, 1, 1, 1)), (0, (3, 3)))
_COLOURS = (BLUE, TEAL, ORANGE, PURPLE)


class Panel(NamedTuple):
    """What one set-up did: ``findings`` maps (kind of fault, instant) to a key of ``LOOKS``."""

    title: str
    subtitle: str
    findings: Mapping[tuple[str, str], str]


def danger_bars(counts: Mapping[str, Mapping[str, int]]) -> Figure:
    """One bar a set-up: of all dangerous cases how many nobody saw, how many were seen and harmful all the
    same, how many were caught. ``counts`` has those three by "missed", "vain" and "caught"."""
    figure = Figure(figsize=(8.6, 0.75 + 0.42 * len(counts)), layout="constrained")
    ax = figure.add_subplot()
    most = max([1, *(sum(count.values()) for count in counts.values())])
    for y, count in enumerate(counts.values()):
        left = 0
        for finding in ("missed", "vain", "caught"):
            look, n = LOOKS[finding], count[finding]
            ax.barh(y, n, left=left, height=0.74, color=look.fill)
            if n > 0.03 * most:
                text = f"{look.symbol} {n}"
                ax.text(left + n / 2, y, text, color=look.text, ha="center", va="center", fontsize=10)
            left += n
        told = f"of {left}" if left else "nothing dangerous"
        ax.text(left + 0.01 * most, y, told, va="center", fontsize=9, color=SOFT)
    ax.set_xlim(0, 1.15 * most)
    ax.set_yticks(range(len(counts)), list(counts), fontsize=11, fontweight="bold")
    ax.invert_yaxis()
    ax.set_xticks([])
    ax.tick_params(length=0, labelcolor=INK)
    ax.spines[:].set_visible(False)
    handles = [
        Patch(facecolor=LOOKS[f].fill, label=f"{LOOKS[f].symbol} {LOOKS[f].word}")
        for f in ("missed", "vain", "caught")
    ]
    figure.legend(handles=handles, loc="outside upper left", ncols=3, frameon=False, fontsize=9.5)
    return figure


def audit_matrix(
    panels: Sequence[Panel],
    kinds: Sequence[str],
    instants: Sequence[str],
    links: Mapping[str, str] | None = None,
) -> Figure:
    """Kinds of fault by instants, one panel a set-up. ``links`` gives each kind an address to go to."""
    width, height = 2.9 + len(panels) * (max(0.34 * len(instants), 1.3) + 0.35), 1.9 + 0.225 * len(kinds)
    figure = Figure(figsize=(width, height), layout="constrained")
    axes = figure.subplots(1, len(panels), sharey=True, squeeze=False)[0]
    for ax, panel in zip(axes, panels, strict=True):
        _panel(ax, panel, kinds, instants, links or {})
    axes[0].set_yticks([y + 0.5 for y in range(len(kinds))], kinds)
    for label, kind in zip(axes[0].get_yticklabels(), kinds, strict=True):
        label.set_url((links or {}).get(kind))
    there = {finding for panel in panels for finding in panel.findings.values()}
    handles = [
        Patch(facecolor=look.fill, edgecolor=GRID, label=f"{look.symbol} {look.word}".strip())
        for name, look in LOOKS.items()
        if name in there
    ]
    figure.legend(
        handles=handles, loc="outside lower left", ncols=3 if width > 7 else 2, frameon=False, fontsize=9
    )
    return figure


def _panel(
    ax: Axes, panel: Panel, kinds: Sequence[str], instants: Sequence[str], links: Mapping[str, str]
) -> None:
    for y, kind in enumerate(kinds):
        for x, instant in enumerate(instants):
            look = LOOKS[panel.findings.get((kind, instant), "")]
            field = Rectangle((x + 0.03, y + 0.05), 0.94, 0.9, facecolor=look.fill, lw=0)
            field.set_url(links.get(kind))
            ax.add_patch(field)
            ax.text(x + 0.5, y + 0.52, look.symbol, ha="center", va="center", color=look.text, fontsize=8.5)
    ax.set(xlim=(0, len(instants)), ylim=(len(kinds), 0))
    ax.set_xticks([x + 0.5 for x in range(len(instants))], instants, rotation=55, ha="left")
    ax.xaxis.tick_top()
    ax.tick_params(length=0, labelsize=8.5, labelcolor=INK)
    ax.spines[:].set_visible(False)
    ax.set_title(
        f"{panel.title}\n{panel.subtitle}", loc="left", fontsize=11, fontweight="bold", color=INK, pad=8
    )


def fault_plot(
    traces: Mapping[str, pd.DataFrame], start: float, default_opening: float, limit: float = 0.10
) -> Figure:
    """The blade after one fault under every set-up; ``traces[""]`` is the healthy run.

    Each trace has the columns asked and blade.opening over time [s], and ``attrs["codes"]`` from
    :func:`twintrack.audit.freeze_frame.frames`. ``start`` [s] is when the fault came; shares of travel.
    """
    figure = Figure(figsize=(8.6, 3.0), layout="constrained")
    ax = figure.add_subplot()
    healthy = traces[""]
    ax.fill_between(healthy.index, 0, 100 * healthy["asked"], color="#dde8f1", lw=0, label="foot asks")
    ax.plot(healthy.index, 100 * healthy["blade.opening"], color=INK, lw=1.0, label="healthy")
    border = 100 * (healthy[["asked", "blade.opening"]].max(axis=1) + limit)
    ax.plot(healthy.index, border, color=SOFT, lw=0.8, ls=(0, (1, 2)), label=f"+ {100 * limit:.0f} %")
    ax.axhline(100 * default_opening, color=SOFT, lw=0.7, ls=(0, (8, 4)))
    for (name, style), dashes in zip(_styles(traces).items(), _DASHES, strict=False):
        _blade(ax, name, traces[name], style, dashes)
    ax.axvline(start, color=INK, lw=1.2)
    ax.annotate("fault", (start, 1.0), xycoords=("data", "axes fraction"), xytext=(3, 2),
                textcoords="offset points", fontsize=8, color=INK)  # fmt: skip
    ax.set(xlim=(max(0.0, start - 1.0), healthy.index[-1]), ylim=(-4, 106))
    ax.set_xlabel("time since key-on [s]", fontsize=8.5, color=INK)
    ax.set_ylabel("blade [% of travel]", fontsize=8.5, color=INK)
    ax.tick_params(labelsize=8, colors=SOFT)
    ax.grid(color=GRID, lw=0.6)
    ax.set_axisbelow(True)
    ax.spines[["top", "right"]].set_visible(False)
    ax.legend(loc="center left", bbox_to_anchor=(1.005, 0.5), fontsize=8, frameon=False)
    return figure


def _styles(traces: Mapping[str, pd.DataFrame]) -> dict[str, Any]:
    """A colour a set-up: red for the one that does not look."""
    watched = [name for name in traces if name not in ("", "none")]
    styles = {name: _COLOURS[i % len(_COLOURS)] for i, name in enumerate(watched)}
    return {"none": RED} | styles if "none" in traces else styles


def _blade(ax: Axes, name: str, trace: pd.DataFrame, colour: str, dashes: Any) -> None:
    codes = trace.attrs.get("codes", [])
    when = codes[0]["time"] if codes else math.nan
    seen = f"{codes[0]['code']} at {when:.3f} s" if codes else "sees nothing"
    opening = 100 * trace["blade.opening"]
    ax.plot(trace.index, opening, color=colour, ls=dashes, lw=1.7, label=f"{name}: {seen}")
    if codes:
        row = int(trace.index.searchsorted(when))
        row = min(row, len(trace) - 1)
        ax.plot(trace.index[row], opening.iloc[row], marker="o", ms=5, color=colour)
