# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of linear systems: Bode, step, poles. They compute nothing but what is drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.figure import Figure

from ..pages.plot import BLUE, GRID, INK, ORANGE, RED, SOFT, TEAL
from .response import Margins

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from .band import Band
    from .system import Floats, LinearSystem


def bode(
    frequency: Floats,
    response: Any,
    *,
    band: Band | None = None,
    margin: Margins | None = None,
    title: str = "",
) -> Figure:
    """Size [dB] and phase [deg] over frequency [Hz]; the band holds 90 % of the draws."""
    figure = Figure(figsize=(8.4, 6.0), layout="constrained")
    top, bottom = figure.subplots(2, 1, sharex=True)
    if band is not None:
        low, high = (20.0 * np.log10(band.magnitude(q)) for q in (0.05, 0.95))
        top.fill_between(band.frequency, low, high, color=BLUE, alpha=0.18, lw=0, label="90 % of the draws")
        low, high = (np.degrees(band.phase(q)) for q in (0.05, 0.95))
        bottom.fill_between(band.frequency, low, high, color=BLUE, alpha=0.18, lw=0)
    top.semilogx(frequency, 20.0 * np.log10(np.abs(response)), color=BLUE, lw=1.6, label="nominal")
    bottom.semilogx(frequency, np.degrees(np.unwrap(np.angle(response))), color=BLUE, lw=1.6)
    if margin is not None:
        top.axhline(0.0, color=SOFT, lw=0.8, ls=":")
        bottom.axhline(-180.0, color=SOFT, lw=0.8, ls=":")
        for at, colour, text in (
            (margin.phase_at, ORANGE, f"phase margin {margin.phase:.1f}° at {margin.phase_at:.2f} Hz"),
            (margin.gain_at, TEAL, f"gain margin {margin.gain:.2f} at {margin.gain_at:.2f} Hz"),
        ):
            if np.isfinite(at):
                top.axvline(at, color=colour, lw=1.1, ls="--", label=text)
                bottom.axvline(at, color=colour, lw=1.1, ls="--")
    top.set_ylabel("size [dB]", fontsize=9, color=INK)
    bottom.set_ylabel("phase [deg]", fontsize=9, color=INK)
    bottom.set_xlabel("frequency [Hz]", fontsize=9, color=INK)
    top.legend(fontsize=8, frameon=False)
    _furnish(figure, [top, bottom], title)
    return figure


def step(time: Floats, response: Floats, system: LinearSystem, *, title: str = "") -> Figure:
    """Each output (rows) over time after a step of one in each input (columns)."""
    outputs, inputs = system.outputs, system.inputs
    figure = Figure(figsize=(1.2 + 3.4 * len(inputs), 0.9 + 1.7 * len(outputs)), layout="constrained")
    axes = figure.subplots(len(outputs), len(inputs), sharex=True, squeeze=False)
    for y, out in enumerate(outputs):
        for u, into in enumerate(inputs):
            axes[y, u].plot(time, response[:, y, u], color=BLUE, lw=1.4)
            if y == 0:
                axes[y, u].set_title(f"step in {into.name} [{into.unit or '1'}]", fontsize=9, color=SOFT)
            if u == 0:
                axes[y, u].set_ylabel(f"{out.name} [{out.unit or '1'}]", fontsize=8.5, color=INK)
    for ax in axes[-1]:
        ax.set_xlabel("time [s]", fontsize=9, color=INK)
    _furnish(figure, list(axes.ravel()), title)
    return figure


def pole_map(system: LinearSystem, *, band: Band | None = None, title: str = "") -> Figure:
    """Poles in the plane of s [1/s], or of z with the unit circle; those of the draws behind."""
    figure = Figure(figsize=(5.4, 5.2), layout="constrained")
    axes = figure.subplots()
    if system.period:
        around = np.exp(1j * np.linspace(0.0, 2.0 * np.pi, 200))
        axes.plot(around.real, around.imag, color=SOFT, lw=1.0)
        axes.set_aspect("equal")
    else:
        axes.axvline(0.0, color=SOFT, lw=1.0)
    if band is not None:
        cloud = np.concatenate(band.poles)
        axes.plot(cloud.real, cloud.imag, ".", color=BLUE, ms=3, alpha=0.35, label="draws")
    poles = system.poles
    axes.plot(poles.real, poles.imag, "x", color=RED, ms=8, mew=1.8, label="nominal")
    axes.set_xlabel("real part" + ("" if system.period else " [1/s]"), fontsize=9, color=INK)
    axes.set_ylabel("imaginary part" + ("" if system.period else " [1/s]"), fontsize=9, color=INK)
    axes.legend(fontsize=8, frameon=False)
    _furnish(figure, [axes], title)
    return figure


def _furnish(figure: Figure, axes: list[Axes], title: str) -> None:
    for ax in axes:
        ax.grid(color=GRID, lw=0.6)
        ax.set_axisbelow(True)
        ax.tick_params(labelsize=8, colors=SOFT, length=2.5)
        ax.spines[["top", "right"]].set_visible(False)
    if title:
        figure.suptitle(title, x=0.01, ha="left", fontsize=12, fontweight="bold", color=INK)
