# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of what was computed elsewhere. Every function returns a matplotlib figure and computes nothing.

Lines differ in their dashes as well as in hue.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from matplotlib.figure import Figure

from .. import _core
from ..units import RPM

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

INK, SOFT, GRID = "#1b2733", "#5d6b78", "#dfe4e8"
BLUE, ORANGE, PURPLE, TEAL, RED = "#2166ac", "#e08214", "#7b3294", "#01827a", "#8e0b26"


class Mark(NamedTuple):
    """A trouble code and when it was confirmed [s]."""

    time: float
    text: str


def run_plot(
    trace: pd.DataFrame,
    *,
    title: str = "",
    subtitle: str = "",
    marks: Sequence[Mark] = (),
    unasked_limit: float = 0.10,
    figure: Figure | None = None,
) -> Figure:
    """What happened in one run: openings, pedal and throttle tracks, duty, current, speed of the engine.

    Motor-off time is shaded.

    ``trace`` is a record as a table (index: time in seconds). ``unasked_limit`` [share of travel] draws the
    border beyond which an opening counts as uncommanded.
    """
    heights = [2.9, 1.25, 1.25, 0.9, 0.9, *([1.25] if "engine.speed" in trace else [])]
    figure = figure or Figure(figsize=(9.6, 1.14 * sum(heights)), layout="constrained")
    axes = figure.subplots(len(heights), 1, sharex=True, height_ratios=heights)
    _openings(axes[0], trace, unasked_limit)
    _lines(axes[1], trace, _tracks(trace, "pedal"), "pedal\ntracks [V]", (0.0, 5.0))
    _lines(axes[2], trace, _tracks(trace, "throttle"), "throttle\ntracks [V]", (0.0, 5.0))
    _lines(axes[3], trace, {"duty": ("", BLUE, "-", 100.0)}, "duty [%]", (-20.0, 20.0))
    _lines(axes[4], trace, {"motor.current": ("", PURPLE, "-", 1.0)}, "motor\ncurrent [A]", (-1.0, 1.0))
    if "engine.speed" in trace:
        _lines(axes[5], trace, _ENGINE, "engine\nspeed [rpm]", (0.0, 1000.0))
    for ax in axes:
        _furnish(ax, trace)
    _marks(axes, marks)
    axes[0].legend(
        loc="center left", bbox_to_anchor=(1.005, 0.5), fontsize=8, frameon=False, handlelength=2.2
    )
    axes[-1].set_xlabel("time since key-on [s]", color=INK, fontsize=9)
    axes[-1].set_xlim(trace.index[0], trace.index[-1])
    figure.align_ylabels(axes)
    if title:
        figure.suptitle(title, x=0.01, ha="left", fontsize=12, fontweight="bold", color=INK)
    if subtitle:
        axes[0].set_title(subtitle, loc="left", fontsize=9, color=SOFT)
    return figure


Style = tuple[str, str, str, float]

_ENGINE: dict[str, Style] = {
    "engine.idle_set_point": ("idle set point", SOFT, "--", 1 / RPM),
    "engine.speed": ("engine", INK, "-", 1 / RPM),
}


def _tracks(trace: pd.DataFrame, assembly: str) -> dict[str, Style]:
    looks = [(BLUE, "-"), (ORANGE, "--"), (TEAL, "-.")]
    names = [name for name in trace.columns if name.startswith(f"{assembly}.track") and trace[name].any()]
    return {
        name: (f"track {i + 1}", *look, 1.0) for i, (name, look) in enumerate(zip(names, looks, strict=False))
    }


def _openings(ax: Axes, trace: pd.DataFrame, unasked_limit: float) -> None:
    time, percent = trace.index, 100.0
    if "asked" in trace:
        asked, border = trace["asked"] * percent, (trace["asked"] + unasked_limit) * percent
        ax.fill_between(time, 0, asked, color="#d3e1ee", lw=0, label="asked by the pedal")
        ax.plot(
            time, border, color=RED, lw=1.0, ls=(0, (1, 2)), label=f"asked + {unasked_limit * percent:.0f} %"
        )
        blade = trace["blade.opening"] * percent
        beyond = blade > border
        label = "beyond it" if beyond.any() else None
        ax.fill_between(time, border, blade, where=beyond, color=RED, alpha=0.35, lw=0, label=label)
    _lines(
        ax,
        trace,
        {
            "demand": ("demand (controller)", SOFT, "--", percent),
            "set_point": ("set point", ORANGE, "-", percent),
            "blade.opening": ("blade", INK, "-", percent),
        },
        "opening [% of travel]",
    )
    ax.set_ylim(-4, 104)


def _lines(
    ax: Axes,
    trace: pd.DataFrame,
    signals: Mapping[str, Style],
    label: str,
    show: tuple[float, float] | None = None,
) -> None:
    """Draws the signals there are; the values ``show`` are in view, so that a flat line looks flat."""
    for name, (text, colour, dashes, scale) in signals.items():
        if name in trace:
            width = 1.9 if name == "blade.opening" else 1.2
            ax.plot(trace.index, trace[name] * scale, color=colour, ls=dashes, lw=width, label=text or None)
    if show:
        ax.update_datalim([(trace.index[0], value) for value in show])
        ax.autoscale_view()
    ax.set_ylabel(label, fontsize=8.5, color=INK)
    if any(text for text, *_ in signals.values()):
        ax.legend(loc="center left", bbox_to_anchor=(1.005, 0.5), fontsize=8, frameon=False, handlelength=2.2)


def _furnish(ax: Axes, trace: pd.DataFrame) -> None:
    ax.grid(color=GRID, lw=0.6)
    ax.set_axisbelow(True)
    ax.tick_params(labelsize=8, colors=SOFT, length=2.5)
    ax.spines[["top", "right"]].set_visible(False)
    ax.spines[["left", "bottom"]].set_color(GRID)
    if "reaction" in trace:
        off = trace["reaction"] >= _core.reactions().index("motor off")
        _hatch(ax, trace, off, "////", "motor power removed")
        _hatch(ax, trace, (trace["reaction"] > 0) & ~off, "....", "demand limited, or idle")


def _hatch(ax: Axes, trace: pd.DataFrame, where: pd.Series, hatch: str, label: str) -> None:
    if where.any():
        ax.fill_between(
            trace.index,
            0,
            1,
            where=where,
            transform=ax.get_xaxis_transform(),
            facecolor="none",
            hatch=hatch,
            edgecolor="#ccd3d9",
            lw=0,
            zorder=0.5,
            label=label,
        )


def _marks(axes: Sequence[Axes], marks: Sequence[Mark]) -> None:
    for i, mark in enumerate(marks):
        for ax in axes:
            ax.axvline(mark.time, color=RED, lw=1.0, zorder=3)
        axes[0].annotate(
            f"{mark.text} at {mark.time:.3f} s",
            (mark.time, 0.93 - 0.1 * i),
            xycoords=("data", "axes fraction"),
            xytext=(5, 0),
            textcoords="offset points",
            fontsize=8,
            color=RED,
            va="center",
            bbox={"facecolor": "white", "alpha": 0.9, "lw": 0, "pad": 1.5},
        )


def learn_plot(learned: Any, *, figure: Figure | None = None) -> Figure:
    """The curves a range learn stored: reading of each track over the position of its assembly."""
    figure = figure or Figure(figsize=(8.4, 3.4), layout="constrained")
    axes = figure.subplots(1, 2, sharey=True)
    for ax, name, tracks in ((axes[0], "pedal", learned.pedal), (axes[1], "throttle body", learned.throttle)):
        for i, (track, colour) in enumerate(zip(tracks, (BLUE, ORANGE, TEAL), strict=False)):
            percent = [100.0 * k / (len(track.curve) - 1) for k in range(len(track.curve))]
            ax.plot(percent, track.curve, color=colour, marker="os^"[i], ms=3, lw=1.4, label=f"track {i + 1}")
        ax.set(xlabel=f"{name} position [% of learned travel]", ylim=(0, 1))
        ax.legend(fontsize=8, frameon=False)
        ax.grid(color=GRID, lw=0.6)
    axes[1].axvline(100.0 * learned.default_opening, color=SOFT, ls=":", lw=1.2)
    axes[1].annotate(
        "default position", (100.0 * learned.default_opening, 0.03), rotation=90, fontsize=8, color=SOFT
    )
    axes[0].set_ylabel("reading [share of full scale]")
    return figure
