# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of idle maps. Findings differ in lightness as well as in hue, and words stand on the regions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from matplotlib.colors import BoundaryNorm, ListedColormap
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from ..pages.plot import BLUE, INK, ORANGE, PURPLE, RED, SOFT, TEAL
from .table import LOOKS, MEANING

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FINDINGS = tuple(MEANING)
_COLOURS = (BLUE, ORANGE, TEAL, PURPLE, RED, INK)
_DASHES = ("-", "--", "-.", ":", (0, (6, 1, 1, 1)), (0, (3, 3)))
_MARKS = {"right": "o", "noticed": "s", "wrong": "D", "dangerous": "^"}


class Word(NamedTuple):
    """A word to stand on a region, where there is room [% of range]."""

    x: float
    y: float
    finding: str


class Field(NamedTuple):
    """One map: ``finding[y][x]`` as an index of ``FINDINGS`` (-1: not run), ``speed[y][x]`` [rpm] (NaN: not
    run) over mismatches [% of range] of track 1 (x) and track 2 (y)."""

    title: str
    axis: Sequence[float]
    finding: np.ndarray
    speed: np.ndarray
    words: Sequence[Word]


class Curve(NamedTuple):
    """Idle speed [rpm] over the mismatch of one track [% of its range], with the finding of each point."""

    label: str
    mismatch: Sequence[float]
    speed: Sequence[float]
    finding: Sequence[str]


def mismatch_maps(fields: Sequence[Field], curves: Sequence[Curve], band: tuple[float, float]) -> Figure:
    """A map for each assembly and the curves of each track below; ``band`` [rpm] is what the rule allows."""
    layout = ConstrainedLayoutEngine(w_pad=0.12, h_pad=0.12)
    figure = Figure(figsize=(6.1 * len(fields), 10.4), layout=layout)
    grid = figure.add_gridspec(2, len(fields), height_ratios=[1.5, 1.0])
    for k, field in enumerate(fields):
        _field(figure.add_subplot(grid[0, k]), field)
    _curves(figure.add_subplot(grid[1, :]), curves, band)
    return figure


def _field(axes: Axes, field: Field) -> None:
    colours = ListedColormap([LOOKS[name].fill for name in FINDINGS])
    norm = BoundaryNorm(np.arange(len(FINDINGS) + 1) - 0.5, len(FINDINGS))
    shown = np.ma.masked_less(field.finding, 0)
    axes.pcolormesh(field.axis, field.axis, shown, cmap=colours, norm=norm, shading="nearest")
    _speeds(axes, field)
    for word in field.words:
        look = LOOKS[word.finding]
        axes.text(word.x, word.y, f"{look.symbol} {look.word}", color=look.text, fontsize=9, weight="bold",
                  ha="center", va="center", wrap=True,
                  bbox={"facecolor": look.fill, "edgecolor": "none", "pad": 2})  # fmt: skip
    axes.plot(0, 0, "+", color=INK, ms=11, mew=1.6)
    axes.set_title(field.title, fontsize=11.5, fontweight="bold", color=INK, loc="left")
    axes.set_xlabel("track 1 reads too high by [% of its range]", fontsize=9.5, color=INK)
    axes.set_ylabel("track 2 reads too high by [% of its range]", fontsize=9.5, color=INK)
    axes.set_aspect("equal")
    axes.tick_params(labelsize=9, labelcolor=INK)


def _speeds(axes: Axes, field: Field) -> None:
    """Idle speeds [rpm] on every other field, where no word stands."""
    middle = len(field.axis) // 2
    step = 2 if len(field.axis) > 11 else 1
    for y, x in np.argwhere(np.isfinite(field.speed)):
        if (y - middle) % step or (x - middle) % step or (y, x) == (middle, middle):
            continue
        here = field.axis[x], field.axis[y]
        if not any(_covers(word, *here, field.axis) for word in field.words):
            look = LOOKS[FINDINGS[field.finding[y, x]]]
            axes.text(
                *here, f"{field.speed[y, x]:.0f}", color=look.text, fontsize=6.5, ha="center", va="center"
            )


def _covers(word: Word, x: float, y: float, axis: Sequence[float]) -> bool:
    """Whether a number at a place would run into the word."""
    width = axis[-1] - axis[0]
    return (
        abs(y - word.y) < 0.035 * width
        and abs(x - word.x) < (0.014 * len(LOOKS[word.finding].word) + 0.05) * width
    )


def _curves(axes: Axes, curves: Sequence[Curve], band: tuple[float, float]) -> None:
    axes.axhspan(*band, color=LOOKS["right"].fill, lw=0, zorder=0)
    place, frame = (0.995, band[1]), ("axes fraction", "data")
    axes.annotate("allowed band", place, xycoords=frame, ha="right", va="bottom", fontsize=8, color=SOFT)
    for k, curve in enumerate(curves):
        colour, dash = _COLOURS[k % len(_COLOURS)], _DASHES[k % len(_DASHES)]
        axes.plot(curve.mismatch, curve.speed, color=colour, ls=dash, lw=1.6, label=curve.label)
        for name, mark in _MARKS.items():
            at = [i for i, finding in enumerate(curve.finding) if finding == name]
            axes.plot([curve.mismatch[i] for i in at], [curve.speed[i] for i in at], mark, ms=5.5, mec=colour,
                      mfc=LOOKS[name].fill, ls="none")  # fmt: skip
    tracks = axes.legend(loc="upper center", fontsize=8.5, frameon=False, ncols=6)
    axes.add_artist(tracks)
    marks = [
        Line2D([], [], marker=mark, ls="none", mec=INK, mfc=LOOKS[name].fill, ms=6, label=LOOKS[name].word)
        for name, mark in _MARKS.items()
    ]
    place = (0.5, 0.93)
    axes.legend(handles=marks, bbox_to_anchor=place, loc="upper center", fontsize=8.5, frameon=False, ncols=4)
    axes.set_ylim(bottom=0.0, top=axes.get_ylim()[1] * 1.25)
    axes.set_title("Idle speed against the mismatch of each track alone", fontsize=11.5, fontweight="bold",
                   color=INK, loc="left")  # fmt: skip
    axes.set_xlabel("the track reads too high by [% of its range]", fontsize=9.5, color=INK)
    axes.set_ylabel("idle speed, foot off [rpm]", fontsize=9.5, color=INK)
    axes.grid(alpha=0.3)
    axes.spines[["top", "right"]].set_visible(False)


class MishapRow(NamedTuple):
    """One thing that goes wrong in a learn: for each degree, mildest first, its finding and its words."""

    name: str
    cells: Sequence[tuple[str, str]]


def mishap_map(panels: Mapping[str, Sequence[MishapRow]], degrees: int) -> Figure:
    """Mishaps by degree, one panel a strictness of the learn."""
    rows = len(next(iter(panels.values())))
    figure = Figure(
        figsize=(2.6 + len(panels) * (1.02 * degrees + 0.3), 1.5 + 0.50 * rows), layout="constrained"
    )
    all_axes = figure.subplots(1, len(panels), sharey=True, squeeze=False)[0]
    for axes, (title, panel) in zip(all_axes, panels.items(), strict=True):
        for y, row in enumerate(panel):
            for x, (finding, text) in enumerate(row.cells):
                _mishap_cell(axes, x, y, degrees if len(row.cells) == 1 else 1, finding, text)
        axes.set(xlim=(0, degrees), ylim=(rows, 0))
        axes.set_xticks([0.5, degrees - 0.5], ["hardly", "badly"])
        axes.xaxis.tick_top()
        axes.set_title(title, fontsize=11, fontweight="bold", color=INK, loc="left")
        axes.tick_params(length=0, labelsize=9, labelcolor=INK)
        axes.spines[:].set_visible(False)
    names = [row.name for row in next(iter(panels.values()))]
    all_axes[0].set_yticks([y + 0.5 for y in range(rows)], names)
    return figure


def _mishap_cell(axes: Axes, x: int, y: int, width: int, finding: str, text: str) -> None:
    look = LOOKS[finding]
    axes.add_patch(Rectangle((x + 0.02, y + 0.05), width - 0.04, 0.90, facecolor=look.fill, linewidth=0))
    axes.text(x + 0.5 * width, y + 0.5, f"{look.symbol} {text}", ha="center", va="center", fontsize=7.2,
              color=look.text)  # fmt: skip
