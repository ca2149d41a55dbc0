# SPDX-License-Identifier: BSD-3-Clause
"""A matplotlib figure that a notebook shows with curves that zoom."""

from __future__ import annotations

from collections.abc import Callable

from matplotlib.figure import Figure

from .zoom import Frame


class ZoomFigure(Figure):
    """``page`` makes the page that a notebook shows; without a browser the figure itself is shown."""

    page: Callable[[], Frame] | None = None

    def _repr_html_(self) -> str | None:
        import matplotlib
        import matplotlib.pyplot as plt

        backend = str(matplotlib.get_backend()).lower()
        if self.page is None or "ipympl" in backend or "widget" in backend:
            return None  # that back end zooms by itself
        if "inline" in backend:
            plt.close(self)  # else it would be shown a second time at the end of the cell
        return self.page().html
