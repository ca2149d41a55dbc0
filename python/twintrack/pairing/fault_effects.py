# SPDX-License-Identifier: BSD-3-Clause
"""What one wiring fault did in one run: what the tracks read, which check saw it, where the blade went.

Shares are of travel. The readings are means over the 50 ms before the fault and from 1 to 6 ms after it, at
the pins: the blade has hardly moved by then, whatever the controller makes of them.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from .. import _core

#: What a fault can come to, worst first, and the answer whose colours it takes.
EFFECTS = {
    "unsafe": "unsafe",
    "wrong, unseen": "wrong",
    "seen, motor off": "none",
    "no effect": "right",
}

#: What each of them means, with the limits of the judgement.
MEANING = {
    "unsafe": "open more than {unasked} of travel beyond what the foot asks, for longer than {unasked_time}",
    "wrong, unseen": "no check sees it, and the blade does not do what the foot asks",
    "seen, motor off": "a check takes the motor's power away before it is unsafe; the springs decide",
    "no effect": "the blade goes on doing what the foot asks, within {settled} of travel",
}

#: The columns that :func:`columns` fills, with what stands there for a case that was not run.
EMPTY: dict[str, Any] = {
    "reads": "",
    "seen_by": "",
    "seen_after_ms": math.nan,
    "furthest_opening": math.nan,
    "effect": "",
}

_NOTICEABLE = 0.05  # V


def columns(result: Any, pedal_tracks: int, throttle_tracks: int, start: float) -> dict[str, Any]:
    """The columns of one case; ``result`` carries its record, ``start`` [s] is when the fault came."""
    record = result.record
    after = record.time >= start
    code = next((c for c in result.codes if c.confirmed >= start), None)
    return {
        "reads": _reads(record, pedal_tracks, throttle_tracks, start),
        "seen_by": code.text if code else "",
        "seen_after_ms": 1000 * (code.confirmed - start) if code else math.nan,
        "furthest_opening": float(record["blade.opening"][after].max()) if after.any() else math.nan,
        "effect": effect(result.answer, bool(result.codes)),
    }


def effect(answer: str, seen: bool) -> str:
    """The key of ``EFFECTS`` for an answer and whether a check saw the fault."""
    if answer == "unsafe":
        return "unsafe"
    if seen:
        return "seen, motor off"
    return "no effect" if answer == "right" else "wrong, unseen"


def _reads(record: _core.Record, pedal_tracks: int, throttle_tracks: int, start: float) -> str:
    """``"pedal 1: 2.31 → 0.00 V, throttle 2: 1.20 → 4.98 V"``: the tracks whose reading changed."""
    before = (record.time >= start - 0.05) & (record.time < start)
    after = (record.time >= start + 0.001) & (record.time < start + 0.006)
    changed = []
    for assembly, count in (("pedal", pedal_tracks), ("throttle", throttle_tracks)):
        for k in range(1, count + 1):
            volts = record[f"{assembly}.track{k}"]
            was, now = float(np.mean(volts[before])), float(np.mean(volts[after]))
            if abs(now - was) > _NOTICEABLE:
                changed.append(f"{assembly} {k}: {was:.2f} → {now:.2f} V")
    return ", ".join(changed) or "as before"
