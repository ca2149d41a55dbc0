# SPDX-License-Identifier: BSD-3-Clause
"""The pictures of learns that go wrong, beside the matrix: how far off the controller is over the travel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from ..pages.plot import BLUE, GRID, INK, ORANGE, RED, SOFT

_STYLES = [(BLUE, "-"), (ORANGE, "--")]


class Curve(NamedTuple):
    """Believed less true position over the true one [shares of travel], and where 0 and 1 are believed."""

    label: str
    true: NDArray[np.float64]
    error: NDArray[np.float64]
    zero_at: float
    full_at: float


def error_plot(pedal: Sequence[Curve], blade: Sequence[Curve], limit: float = 0.10) -> Figure:
    """Position error of pedal and blade over the travel, with the border at ``limit`` that the rules draw."""
    figure = Figure(figsize=(9.6, 3.4), layout="constrained")
    axes = figure.subplots(1, 2, sharey=True)
    for ax, name, curves in ((axes[0], "pedal", pedal), (axes[1], "blade", blade)):
        _panel(ax, name, curves, limit)
    axes[0].set_ylabel("believed − true\n[% of travel]", fontsize=9, color=INK)
    return figure


def _panel(ax: Axes, name: str, curves: Sequence[Curve], limit: float) -> None:
    ax.axhspan(-100 * limit, 100 * limit, color="#e8f0f6", lw=0, label=f"± {100 * limit:.0f} %")
    ax.axhline(0.0, color=INK, lw=0.8)
    for curve, (colour, dashes) in zip(curves, _STYLES, strict=False):
        ax.plot(100 * curve.true, 100 * curve.error, color=colour, ls=dashes, lw=1.8, label=curve.label)
    if curves:
        _ends(ax, curves[0])
    ax.margins(y=0.15)
    ax.update_datalim([(0, -15), (100, 15)])
    ax.autoscale_view()
    ax.set_xlim(-4, 104)
    ax.set_xlabel(f"true {name} position [% of travel]", fontsize=9, color=INK)
    ax.tick_params(labelsize=8, colors=SOFT)
    ax.grid(color=GRID, lw=0.6)
    ax.set_axisbelow(True)
    ax.spines[["top", "right"]].set_visible(False)
    ax.legend(fontsize=8, frameon=False, loc="best")


def _ends(ax: Axes, curve: Curve) -> None:
    """Where 0 % and 100 % are believed, when that lies on the travel; in words when it does not."""
    off = []
    for text, at in (("0 %", curve.zero_at), ("100 %", curve.full_at)):
        if -0.04 <= at <= 1.04:
            ax.axvline(100 * at, color=RED, lw=1.0, ls=":")
            ax.annotate(
                f"taken for {text}", (100 * at, 0.02), xycoords=("data", "axes fraction"), rotation=90,
                xytext=(-3 if at > 0.5 else 3, 0), textcoords="offset points",
                ha="right" if at > 0.5 else "left", va="bottom", fontsize=7.5, color=RED,
            )  # fmt: skip
        elif at == at:
            off.append(f"{text} would be at {100 * at:.0f} %")
        else:
            off.append(f"{text} is nowhere")
    if off:
        ax.set_title("; ".join(off), loc="right", fontsize=8, color=RED)
