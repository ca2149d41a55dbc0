# SPDX-License-Identifier: BSD-3-Clause
"""The range learn as it went: blade, pedal, tracks, duty, and the steps by name over one time axis."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from matplotlib.figure import Figure

from ..pages.plot import BLUE, INK, ORANGE, PURPLE, RED, TEAL

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes


def procedure_plot(
    trace: pd.DataFrame,
    states: Sequence[str],
    *,
    title: str = "",
    reason: str = "",
    figure: Figure | None = None,
) -> Figure:
    """``trace`` is the learn's record as a table (index: time in s), ``states`` the step at each row."""
    figure = figure or Figure(figsize=(9.6, 9.0), layout="constrained")
    axes = figure.subplots(5, 1, sharex=True, height_ratios=[1.8, 1.2, 1.2, 1.0, 2.8])
    _line(axes[0], trace, "blade.opening", "blade", INK, 100.0)
    _line(axes[0], trace, "pedal.travel", "pedal", ORANGE, 100.0)
    axes[0].set_ylabel("position\n[% of travel]")
    for ax, assembly in ((axes[1], "pedal"), (axes[2], "throttle")):
        for k, colour in enumerate((BLUE, ORANGE, TEAL), 1):
            if trace[f"{assembly}.track{k}"].any():
                _line(ax, trace, f"{assembly}.track{k}", f"track {k}", colour, 1.0)
        ax.set_ylabel(f"{assembly}\ntracks [V]")
    _line(axes[3], trace, "duty", "duty", PURPLE, 100.0)
    axes[3].set_ylabel("duty [%]")
    _steps(axes[4], trace, states)
    for ax in axes:
        ax.grid(True, alpha=0.3)
        ax.spines[["top", "right"]].set_visible(False)
    for ax in axes[:3]:
        ax.legend(loc="center left", bbox_to_anchor=(1.005, 0.5), fontsize=8, frameon=False)
    axes[-1].set_xlabel("time since key-on [s]")
    figure.align_ylabels(axes)
    if title:
        figure.suptitle(title, x=0.01, ha="left", fontsize=12, fontweight="bold", color=INK)
    if reason:
        axes[0].set_title(reason, loc="left", fontsize=8, color=RED, wrap=True)
    return figure


def _line(ax: Axes, trace: pd.DataFrame, name: str, label: str, colour: str, factor: float) -> None:
    ax.plot(trace.index, factor * trace[name], color=colour, lw=1.4, label=label)


def _steps(ax: Axes, trace: pd.DataFrame, states: Sequence[str]) -> None:
    """The name of each step beside the stretch of time it took; a step that is left never comes back."""
    names = list(dict.fromkeys(states))
    for row, name in enumerate(names):
        rows = [i for i, state in enumerate(states) if state == name]
        ax.plot(
            [trace.index[rows[0]], trace.index[rows[-1]]], [row, row], color=BLUE, lw=5, solid_capstyle="butt"
        )
        ax.axvline(trace.index[rows[0]], color=INK, lw=0.5, alpha=0.3)
    ax.set_yticks(range(len(names)), names, fontsize=8)
    ax.invert_yaxis()
    if names[-1] == "refused":
        ax.get_yticklabels()[-1].set_color(RED)
