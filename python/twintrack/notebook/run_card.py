# SPDX-License-Identifier: BSD-3-Clause
"""What a notebook shows of a run or a range learn."""

from __future__ import annotations

import math
from typing import Any

from ..pages.cards import card, caution, codes_table, table, text
from ..studies.fault_text import fault_text
from .zoom import zoom_page

#: What a learn measures: name, text, scale, unit.
_MEASURES = (
    ("default_opening", "default position", 100.0, "% of travel"),
    ("return_time", "return from the open stop", 1e3, "ms"),
    ("throttle_noise", "noise of the throttle tracks", 100.0, "% of full scale"),
    ("press_difference", "difference of the two presses", 100.0, "% of span"),
)


def run_card(run: Any) -> str:
    """How it ended, codes or measures, and curves that zoom."""
    ended = f"{run.outcome.status} at {run.outcome.when:g} s"
    if run.outcome.reason:
        ended += f": {run.outcome.reason}"
    if hasattr(run, "accepted"):
        verdict = "accepted" if run.accepted else f"refused: {run.reason}"
        parts = [text(f"Learn {verdict}"), _measures(run.measures), caution()]
    else:
        faults = "; ".join(fault_text(fault) for fault in run.faults)
        parts = [text(f"faults: {faults}")] if faults else []
        parts.append(codes_table(run.codes) if run.codes else text("No trouble code is set."))
    return card(f"{run.title}: {ended}", *parts, zoom_page(run).html)


def _measures(measures: Any) -> str:
    values = [(label, scale * getattr(measures, name), unit) for name, label, scale, unit in _MEASURES]
    rows = [(label, f"{value:.3g} {unit}") for label, value, unit in values if not math.isnan(value)]
    return table(["measured", ""], rows)
