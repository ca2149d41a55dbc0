# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of an identification: measured against simulated, residuals, intervals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure

from ..pages.plot import BLUE, GRID, INK, ORANGE, PURPLE, SOFT
from .problem import OF_LOG

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from .reading import Floats
    from .result import Identification

_MOST_POINTS = 4000


def signals(found: Identification, *, begin: float = 0.0, end: float | None = None) -> Figure:
    """Voltage, angle and current over time [s]: as logged and as the identified body answers."""
    log = found.log
    end = log.time[-1] if end is None else end
    part = slice(*np.searchsorted(log.time, [begin, end]))
    step = max((part.stop - part.start) // _MOST_POINTS, 1)
    rows = slice(part.start, part.stop, step)
    t = log.time[rows]
    count = 2 + (log.current is not None)
    figure = Figure(figsize=(9.6, 1.2 + 1.75 * count), layout="constrained")
    axes = figure.subplots(count, 1, sharex=True, squeeze=False)[:, 0]
    axes[0].plot(t, log.voltage[rows], color=PURPLE, lw=1.0)
    axes[0].set_ylabel("voltage [V]", fontsize=8.5, color=INK)
    _pair(axes[1], t, np.degrees(log.angle[rows]), np.degrees(found.predicted["angle"][rows]), "angle [deg]")
    if log.current is not None:
        _pair(axes[2], t, log.current[rows], found.predicted["current"][rows], "current [A]")
    axes[-1].set_xlabel("time [s]", fontsize=9, color=INK)
    axes[1].legend(fontsize=8, frameon=False, loc="lower right", bbox_to_anchor=(1.0, 0.98), ncols=2)
    for ax in axes:
        _furnish(ax)
    return figure


def _pair(ax: Axes, t: Floats, logged: Floats, predicted: Floats, label: str) -> None:
    ax.plot(t, logged, color=BLUE, lw=1.6, label="logged")
    ax.plot(t, predicted, color=ORANGE, lw=1.0, ls="--", label="simulated")
    ax.set_ylabel(label, fontsize=8.5, color=INK)


def residuals(found: Identification, lags: int = 40) -> Figure:
    """Residuals over time, their distribution, and their autocorrelation with the 95 % band of white
    noise."""
    names = list(found.residuals)
    figure = Figure(figsize=(9.6, 0.6 + 2.3 * len(names)), layout="constrained")
    grid = figure.subplots(len(names), 3, squeeze=False, width_ratios=[1.8, 1.0, 1.2])
    scale = {"angle": (1e3, "mrad"), "current": (1e3, "mA")}
    for (over, spread, likeness), name in zip(grid, names, strict=True):
        factor, unit = scale[name]
        r = found.residuals[name] * factor
        step = max(len(r) // _MOST_POINTS, 1)
        over.plot(found.log.time[::step], r[::step], ".", color=BLUE, ms=1.5)
        over.set_ylabel(f"{name}, simulated − logged [{unit}]", fontsize=8, color=INK)
        known = r[np.isfinite(r)]
        edge = 4.5 * float(np.std(known)) or 1.0
        spread.hist(known, bins=np.linspace(-edge, edge, 60), color=BLUE, orientation="horizontal")
        spread.set_xlabel("samples", fontsize=8, color=INK)
        centred = known - known.mean()
        power = float(centred @ centred)
        rho = [float(centred[k:] @ centred[: len(centred) - k]) / power for k in range(1, lags + 1)]
        likeness.stem(range(1, lags + 1), rho, linefmt=BLUE, markerfmt=" ", basefmt=" ")
        band = 1.96 / np.sqrt(len(known))
        likeness.axhspan(-band, band, color=ORANGE, alpha=0.3, lw=0)
        likeness.set_ylabel("autocorrelation", fontsize=8, color=INK)
        likeness.set_xlabel("lag [samples]", fontsize=8, color=INK)
        for ax in (over, spread, likeness):
            _furnish(ax)
    grid[-1][0].set_xlabel("time [s]", fontsize=8, color=INK)
    return figure


def intervals(found: Identification) -> Figure:
    """Each estimate over the starting body's value, with its interval [%]."""
    shown = [e for e in found.estimates if e.name not in OF_LOG and e.start and e.value and not e.ratio]
    shown = shown or [e for e in found.estimates if e.name not in OF_LOG and e.start]
    figure = Figure(figsize=(8.4, 0.9 + 0.34 * len(shown)), layout="constrained")
    ax = figure.subplots()
    for k, e in enumerate(shown):
        middle, low, high = (100.0 * (v / e.start - 1.0) for v in (e.value, e.low, e.high))
        ax.plot([low, high], [k, k], color=BLUE, lw=5, alpha=0.4, solid_capstyle="butt")
        ax.plot([middle], [k], "|", color=BLUE, ms=11, mew=2)
    ax.axvline(0.0, color=SOFT, lw=0.9, ls=":")
    ax.set_yticks(range(len(shown)), [e.label for e in shown], fontsize=8)
    ax.invert_yaxis()
    ax.set_xlabel("difference from the starting body [%]", fontsize=9, color=INK)
    _furnish(ax)
    return figure


def _furnish(ax: Axes) -> None:
    ax.grid(color=GRID, lw=0.6)
    ax.set_axisbelow(True)
    ax.tick_params(labelsize=8, colors=SOFT, length=2.5)
    ax.spines[["top", "right"]].set_visible(False)
