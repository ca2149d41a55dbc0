# SPDX-License-Identifier: BSD-3-Clause
"""Heat maps, bars and curves of a section as a matplotlib figure, for PNG files and notebooks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from .plot import BLUE, GRID, INK, ORANGE, PURPLE, SOFT, TEAL
from .section import Bars, HeatMap, Lines, Part, Section
from .severity import LOOKS

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def figure(section: Section) -> Figure:
    """The pictures of a section, two side by side; a section without one gives an empty figure."""
    parts = [part for part in section.parts if isinstance(part, HeatMap | Bars | Lines)]
    across = min(2, len(parts)) or 1
    rows = [parts[k : k + across] for k in range(0, len(parts), across)]
    widths = [max([_size(row[k])[0] for row in rows if k < len(row)], default=4) for k in range(across)]
    heights = [max(_size(part)[1] for part in row) for row in rows] or [2.0]
    made = Figure(figsize=(sum(widths), sum(heights)), layout="constrained")
    grid = made.add_gridspec(len(heights), across, width_ratios=widths, height_ratios=heights)
    for y, row in enumerate(rows):
        for x, part in enumerate(row):
            axes = made.add_subplot(grid[y, x])
            axes.set_title(part.title, fontsize=11, fontweight="bold", color=INK, loc="left", pad=10)
            _draw(axes, part)
    return made


def _size(part: Part) -> tuple[float, float]:
    """Width and height that suit it [inch]."""
    if isinstance(part, HeatMap):
        cell = 0.27 if part.narrow else 0.98
        names = 0.075 * max(map(len, part.rows), default=0)
        return max(1.2 + names + cell * len(part.columns), 0.085 * len(part.title) + 1.0), 1.5 + (
            0.24 if part.narrow else 0.5
        ) * len(part.rows)
    return 8.0, 3.2 if isinstance(part, Lines) else 1.2 + 0.4 * len(getattr(part, "rows", ()))


def _draw(axes: Axes, part: HeatMap | Bars | Lines) -> None:
    if isinstance(part, HeatMap):
        _heat(axes, part)
    elif isinstance(part, Bars):
        _bars(axes, part)
    else:
        _lines(axes, part)
    axes.tick_params(length=0, labelsize=8.5, labelcolor=INK)


def _heat(axes: Axes, part: HeatMap) -> None:
    for y, row in enumerate(part.rows):
        for x, column in enumerate(part.columns):
            cell = part.cells.get((row, column))
            look = LOOKS[cell.word if cell else ""]
            axes.add_patch(Rectangle((x + 0.03, y + 0.05), 0.94, 0.9, facecolor=look.fill, linewidth=0))
            if cell is None:
                continue
            text = look.symbol if part.narrow else f"{look.symbol} {look.word}"
            size = 8.5 if len(text) < 12 else 6.5
            middle = 0.36 if cell.note and not part.narrow else 0.5
            axes.text(x + 0.5, y + middle, text, ha="center", va="center", color=look.text, fontsize=size)
            if cell.note and not part.narrow:
                note = cell.note if len(cell.note) < 20 else f"{cell.note[:18]}…"
                axes.text(x + 0.5, y + 0.72, note, ha="center", va="center", color=look.text, fontsize=6.8)
    axes.set(xlim=(0, len(part.columns)), ylim=(len(part.rows), 0))
    turned = 60 if part.narrow else 0
    names = [column if part.narrow else column.replace("-", "-\n", 1) for column in part.columns]
    axes.set_xticks([x + 0.5 for x in range(len(names))], names, rotation=turned)
    axes.set_yticks([y + 0.5 for y in range(len(part.rows))], list(part.rows))
    axes.xaxis.tick_top()
    axes.xaxis.set_label_position("top")
    axes.set_xlabel(part.column_title, fontsize=8.5, color=SOFT)
    axes.set_ylabel(part.row_title, fontsize=8.5, color=SOFT)
    axes.spines[:].set_visible(False)


def _bars(axes: Axes, part: Bars) -> None:
    for y, (name, share, low, high, text) in enumerate(part.rows):
        axes.barh(y, 100 * share, height=0.62, color=LOOKS[name].fill if name in LOOKS else BLUE)
        axes.plot([100 * low, 100 * high], [y, y], color=INK, lw=1.4, marker="|", ms=8)
        axes.text(100 * max(share, high) + 1, y, text, va="center", fontsize=8, color=INK)
    axes.set_yticks(range(len(part.rows)), [LOOKS[r[0]].word if r[0] in LOOKS else r[0] for r in part.rows])
    axes.invert_yaxis()
    axes.set(xlim=(0, 140), xticks=range(0, 101, 20))
    axes.spines[["top", "right"]].set_visible(False)


def _lines(axes: Axes, part: Lines) -> None:
    for (name, values), colour in zip(
        part.curves.items(), (SOFT, ORANGE, BLUE, TEAL, PURPLE, INK), strict=False
    ):
        axes.plot(part.x, values, color=colour, lw=1.4, marker="o" if part.dots else "", ms=3, label=name)
    for x, _ in part.marks:
        axes.axvline(x, color="#8e0b26", lw=1)
    axes.set_xlabel(part.x_label, fontsize=8.5)
    axes.set_ylabel(part.y_label, fontsize=8.5)
    axes.grid(color=GRID, lw=0.6)
    axes.legend(fontsize=8, frameon=False)
