# SPDX-License-Identifier: BSD-3-Clause
"""Freeze-frames: the signals of a record when a trouble code was confirmed, before the reaction to it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

#: Columns of the table: what stands there, its signals, their unit as shown.
SHOWN = {
    "foot asks": (("asked",), "%"),
    "set point": (("set_point",), "%"),
    "believed opening": (("opening",), "%"),
    "blade": (("blade.opening",), "%"),
    "pedal tracks": (("pedal.track1", "pedal.track2", "pedal.track3"), "V"),
    "throttle tracks": (("throttle.track1", "throttle.track2", "throttle.track3"), "V"),
    "duty": (("duty",), "%"),
    "current": (("motor.current",), "A"),
    "supply": (("supply",), "V"),
}


def frames(result: Any, tracks: Mapping[str, int], most: int = 6) -> list[dict[str, Any]]:
    """One a trouble code of a run, in order: ``time`` [s], ``code``, ``meaning``, ``signals``.

    ``signals`` are texts by the names of ``SHOWN``, of the tick before the code, since the code's own
    shows the reaction already. ``tracks`` says how many the pedal and the throttle have. Later codes than the
    first ``most`` are left out.
    """
    record = result.record
    found = []
    for code in result.codes[:most]:
        row = max(int(np.searchsorted(record.time, code.confirmed - 1e-9)) - 1, 0)
        found.append(
            {
                "time": code.confirmed,
                "code": code.text,
                "meaning": code.meaning,
                "signals": {
                    title: _text(record, _there(names, tracks), unit, row)
                    for title, (names, unit) in SHOWN.items()
                },
            }
        )
    return found


def _there(names: tuple[str, ...], tracks: Mapping[str, int]) -> tuple[str, ...]:
    """Without the tracks an assembly does not have."""
    assembly, is_track, _ = names[0].partition(".track")
    return names[: tracks[assembly]] if is_track else names


def _text(record: Any, names: tuple[str, ...], unit: str, row: int) -> str:
    values = [float(record[name][row]) * (100 if unit == "%" else 1) for name in names]
    digits = 2 if unit == "V" else 1
    text = " / ".join(f"{value:.{digits}f}" for value in values).replace("-", "−")
    return f"{text} {unit}"
