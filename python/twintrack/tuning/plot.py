# SPDX-License-Identifier: BSD-3-Clause
"""Pictures of a tuning."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .tuned import Candidate, Tuned

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


def front(found: Tuned) -> Figure:
    """Duty noise of the candidates over their settling time, nominal and, where tried, at the worst draws."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(7.6, 3.6), layout="constrained")
    axes = figure.subplots()
    tried = [c for c in found.candidates if c.worst is not None]
    _dots(axes, [c.values for c in found.candidates], "tab:gray", "nominal body")
    _dots(axes, [c.worst for c in tried if c.worst], "tab:orange", "worst draws of the finalists")
    taken = next(c for c in tried if c.controller == found.controller)
    _dots(axes, [taken.worst or {}], "tab:red", "taken", size=60.0, marker="D")
    limits = {row.wish: row.limit for row in found.table}
    axes.axvline(1e3 * limits["settling"], color="0.3", linestyle="--", linewidth=1.0)
    axes.axhline(limits["duty_noise"], color="0.3", linestyle="--", linewidth=1.0, label="wishes")
    axes.set(xlabel="settling [ms]", ylabel="rms of the duty", **_window(tried, limits))
    axes.legend(fontsize="small")
    axes.grid(alpha=0.3)
    return figure


def _dots(
    axes: Axes, values: list[dict[str, float]], color: str, label: str, size: float = 14.0, marker: str = "o"
) -> None:
    settling = [1e3 * v["settling"] for v in values]
    noise = [v["duty_noise"] for v in values]
    axes.scatter(settling, noise, s=size, c=color, label=label, marker=marker, zorder=2 + size / 100)


def _window(tried: list[Candidate], limits: dict[str, float]) -> dict[str, tuple[float, float]]:
    """What the finalists need, and the wishes; the rest of the search lies far away."""
    worst = [c.worst for c in tried if c.worst is not None]
    far = np.nanmax([limits["settling"], *(w["settling"] for w in worst)])
    loud = np.nanmax([limits["duty_noise"], *(w["duty_noise"] for w in worst)])
    return {"xlim": (0.0, 1.15e3 * float(far)), "ylim": (0.0, 1.3 * float(loud))}
