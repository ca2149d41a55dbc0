# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of what was computed elsewhere. Every function returns a matplotlib figure and computes nothing.

Colours differ in lightness as well as in hue, and every state is also told by a symbol and a word.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

INK, SOFT, GRID = "#1b2733", "#5d6b78", "#dfe4e8"
BLUE, ORANGE, PURPLE, TEAL, RED = "#2166ac", "#e08214", "#7b3294", "#01827a", "#8e0b26"


class Look(NamedTuple):
    """How an answer is shown."""

    fill: str
    text: str
    symbol: str
    word: str


LOOKS = {
    "right": Look("#7fb8de", "#08263f", "✔", "right"),
    "none": Look("#e9ecef", "#49545e", "–", "none"),
    "wrong": Look("#f4b942", "#3d2700", "≠", "WRONG"),
    "unsafe": Look("#8e0b26", "#ffffff", "▲", "UNSAFE"),
    "": Look("#ffffff", "#8a949d", "", ""),
}


class Cell(NamedTuple):
    """One field of a pairing matrix: an answer (a key of ``LOOKS``) and a few characters below it."""

    answer: str
    note: str = ""


def pairing_matrix(
    rows: Sequence[str],
    columns: Sequence[str],
    cells: Mapping[tuple[str, str], Cell],
    *,
    title: str,
    row_title: str,
    column_title: str,
    figure: Figure | None = None,
) -> Figure:
    """A table of answers as a picture; ``cells`` maps (row, column) to what stands there."""
    width, height = 2.0 + 0.92 * len(columns), 1.75 + 0.52 * len(rows)
    figure = figure or Figure(figsize=(width, height), layout="constrained")
    axes = figure.add_subplot()
    for y, row in enumerate(rows):
        for x, column in enumerate(columns):
            _cell(axes, x, y, cells.get((row, column)))
    axes.set(xlim=(0, len(columns)), ylim=(len(rows), 0))
    axes.set_xticks([x + 0.5 for x in range(len(columns))], [_wrap(name) for name in columns])
    axes.set_yticks([y + 0.5 for y in range(len(rows))], rows)
    axes.xaxis.tick_top()
    axes.xaxis.set_label_position("top")
    axes.tick_params(length=0, labelsize=9, labelcolor=INK)
    axes.set_xlabel(column_title, fontsize=9, color=SOFT, labelpad=8)
    axes.set_ylabel(row_title, fontsize=9, color=SOFT, labelpad=8)
    axes.set_title(title, fontsize=11.5, fontweight="bold", color=INK, loc="left", pad=12)
    axes.spines[:].set_visible(False)
    return figure


def _cell(axes: Axes, x: int, y: int, cell: Cell | None) -> None:
    look = LOOKS[cell.answer if cell else ""]
    axes.add_patch(Rectangle((x + 0.025, y + 0.045), 0.95, 0.91, facecolor=look.fill, linewidth=0))
    if cell is None:
        axes.plot([x + 0.4, x + 0.6], [y + 0.5, y + 0.5], color=GRID, lw=1)
        return
    style: dict[str, Any] = {"ha": "center", "va": "center", "color": look.text}
    strong = "bold" if cell.answer in ("wrong", "unsafe") else "normal"
    axes.text(
        x + 0.5,
        y + (0.36 if cell.note else 0.5),
        f"{look.symbol} {look.word}",
        fontsize=9.5,
        weight=strong,
        **style,
    )
    if cell.note:
        axes.text(x + 0.5, y + 0.70, cell.note, fontsize=7.5, **style)


def _wrap(name: str) -> str:
    """Breaks a long name at its dashes so that column heads stay narrow."""
    lines = [""]
    for word in name.replace("-", "- ").split(" "):
        if lines[-1] and len(lines[-1]) + len(word) > 12:
            lines.append(word)
        else:
            lines[-1] += word if not lines[-1] or lines[-1].endswith("-") else " " + word
    return "\n".join(lines)


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
    """What happened in one run: openings, pedal and throttle tracks, duty, current; motor-off time shaded.

    ``trace`` is a record as a table (index: time in seconds). ``unasked_limit`` [share of travel] draws the
    border beyond which an opening that nobody asks for counts as unsafe.
    """
    figure = figure or Figure(figsize=(9.6, 8.2), layout="constrained")
    axes = figure.subplots(5, 1, sharex=True, height_ratios=[2.9, 1.25, 1.25, 0.9, 0.9])
    _openings(axes[0], trace, unasked_limit)
    _lines(axes[1], trace, _tracks(trace, "pedal"), "pedal\ntracks [V]", (0.0, 5.0))
    _lines(axes[2], trace, _tracks(trace, "throttle"), "throttle\ntracks [V]", (0.0, 5.0))
    _lines(axes[3], trace, {"duty": ("", BLUE, "-", 100.0)}, "duty [%]", (-20.0, 20.0))
    _lines(axes[4], trace, {"motor.current": ("", PURPLE, "-", 1.0)}, "motor\ncurrent [A]", (-1.0, 1.0))
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
        ax.fill_between(time, 0, asked, color="#d3e1ee", lw=0, label="what the foot asks")
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
    if "reaction" in trace and (trace["reaction"] > 0).any():
        ax.fill_between(
            trace.index,
            0,
            1,
            where=trace["reaction"] > 0,
            transform=ax.get_xaxis_transform(),
            facecolor="none",
            hatch="////",
            edgecolor="#ccd3d9",
            lw=0,
            zorder=0.5,
            label="motor power removed",
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
