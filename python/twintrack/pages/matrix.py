# SPDX-License-Identifier: BSD-3-Clause
"""Tables of answers as pictures: which pedal drives which throttle body.

Colours differ in lightness as well as in hue, and every answer is also told by a symbol and a word.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.patches import Rectangle

from .plot import GRID, INK, SOFT

if TYPE_CHECKING:
    from matplotlib.axes import Axes


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
    "refused": Look("#d5eadc", "#1d4d33", "⊘", "refused"),
    "harmless": Look("#7fb8de", "#08263f", "✔", "harmless"),
    "dangerous": Look("#8e0b26", "#ffffff", "▲", "DANGEROUS"),
    "": Look("#ffffff", "#8a949d", "", ""),
}


class Cell(NamedTuple):
    """One field of a pairing matrix: an answer (a key of ``LOOKS``) and a few characters below it."""

    answer: str
    note: str = ""


class Matrix(NamedTuple):
    """A table of answers: ``cells`` maps (row, column) to what stands there; absent ones stay empty."""

    title: str
    row_title: str
    column_title: str
    rows: Sequence[str]
    columns: Sequence[str]
    cells: Mapping[tuple[str, str], Cell]
    cell_width: float = 0.92  # inch

    @property
    def size(self) -> tuple[float, float]:
        """Width and height that suit it [inch]."""
        long_names = 0.08 * max(0, max(map(len, self.rows), default=0) - 16)
        title = 0.095 * len(self.title)  # it begins above the cells
        width = 2.0 + long_names + max(title, self.cell_width * len(self.columns))
        return width, 1.75 + 0.52 * len(self.rows)


def pairing_matrix(matrix: Matrix) -> Figure:
    """One table of answers as a picture."""
    figure = Figure(figsize=matrix.size, layout="constrained")
    _draw(figure.add_subplot(), matrix)
    return figure


def pairing_overview(matrices: Sequence[Matrix]) -> Figure:
    """Several tables of answers in one picture, two side by side."""
    across = min(2, len(matrices))
    down = -(-len(matrices) // across)
    width = max(m.size[0] for m in matrices) * across
    heights = [max(m.size[1] for m in matrices[across * row : across * (row + 1)]) for row in range(down)]
    figure = Figure(figsize=(width, sum(heights)), layout=ConstrainedLayoutEngine(w_pad=0.15, h_pad=0.2))
    grid = figure.add_gridspec(down, across, height_ratios=heights)
    for i, matrix in enumerate(matrices):
        _draw(figure.add_subplot(grid[i // across, i % across]), matrix)
    return figure


def _draw(axes: Axes, matrix: Matrix) -> None:
    for y, row in enumerate(matrix.rows):
        for x, column in enumerate(matrix.columns):
            _cell(axes, x, y, matrix.cells.get((row, column)))
    axes.set(xlim=(0, len(matrix.columns)), ylim=(len(matrix.rows), 0))
    axes.set_xticks([x + 0.5 for x in range(len(matrix.columns))], [_wrap(name) for name in matrix.columns])
    axes.set_yticks([y + 0.5 for y in range(len(matrix.rows))], matrix.rows)
    axes.xaxis.tick_top()
    axes.xaxis.set_label_position("top")
    axes.tick_params(length=0, labelsize=9, labelcolor=INK)
    axes.set_xlabel(matrix.column_title, fontsize=9, color=SOFT, labelpad=8)
    axes.set_ylabel(matrix.row_title, fontsize=9, color=SOFT, labelpad=8)
    axes.set_title(matrix.title, fontsize=11.5, fontweight="bold", color=INK, loc="left", pad=12)
    axes.spines[:].set_visible(False)


def _cell(axes: Axes, x: int, y: int, cell: Cell | None) -> None:
    look = LOOKS[cell.answer if cell else ""]
    axes.add_patch(Rectangle((x + 0.025, y + 0.045), 0.95, 0.91, facecolor=look.fill, linewidth=0))
    if cell is None:
        axes.plot([x + 0.4, x + 0.6], [y + 0.5, y + 0.5], color=GRID, lw=1)
        return
    style: dict[str, Any] = {"ha": "center", "va": "center", "color": look.text}
    strong = "bold" if cell.answer in ("wrong", "unsafe", "dangerous") else "normal"
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
        if lines[-1] and len(lines[-1]) + len(word) > 11:
            lines.append(word)
        else:
            lines[-1] += word if not lines[-1] or lines[-1].endswith("-") else " " + word
    return "\n".join(lines)
