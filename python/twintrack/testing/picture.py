# SPDX-License-Identifier: BSD-3-Clause
"""A trace as a few lines of text, for the message of a test that fails."""

from __future__ import annotations

from typing import Any

import numpy as np

_LEVELS = "▁▂▃▄▅▆▇█"

#: Shown one below the other, those that the record has.
SIGNALS = ("asked", "blade.opening", "duty", "reaction")


def picture(record: Any, at: float | None = None, width: int = 64) -> str:
    """Each of ``SIGNALS`` over the whole run, lowest to highest value; ``at`` [s] is marked below.

    A column stands for a stretch of time and shows its mean, "?" where that is no number.
    """
    time = record.time
    if len(time) < 2:
        return "(no trace: the run ended at its first tick)"
    parts = np.array_split(np.arange(len(time)), min(width, len(time)))
    lines = []
    for name in (name for name in SIGNALS if name in record.names):
        means = np.array([record[name][part].mean() for part in parts])
        known = means[np.isfinite(means)]
        least, most = (known.min(), known.max()) if len(known) else (0.0, 0.0)
        lines.append(f"{name:>14} {least:6.2f} {_row(means, least, most)} {most:.2f}")
    begin, end = f"{time[0]:g} s", f"{time[-1]:g} s"
    lines.append(f"{begin:>21} {'':{len(parts)}} {end}")
    if at is not None and time[0] <= at <= time[-1]:
        place = min(int((at - time[0]) / (time[-1] - time[0]) * len(parts)), len(parts) - 1)
        lines.append(f"{'':22}{'':{place}}^ {at:.3f} s")
    return "\n".join(lines)


def _row(values: Any, least: float, most: float) -> str:
    span = most - least or 1.0
    shares = (values - least) / span * (len(_LEVELS) - 1)
    return "".join(_LEVELS[round(share)] if np.isfinite(share) else "?" for share in shares)
