# SPDX-License-Identifier: BSD-3-Clause
"""Freeze-frames: what the controller's fault memory keeps of the tick that confirmed a trouble code."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from ..units import RPM

#: Columns of the table: what stands there, how it is taken from a frame, its unit as shown. Tracks are what
#: the converter gave, in shares of its full scale; command and reaction are those of the tick before.
SHOWN: dict[str, tuple[Callable[[Any], Sequence[float]], str]] = {
    "believed pedal": (lambda f: [f.command.pedal], "%"),
    "set point": (lambda f: [f.command.set_point], "%"),
    "believed opening": (lambda f: [f.command.opening], "%"),
    "pedal tracks": (lambda f: f.input.pedal, "%"),
    "throttle tracks": (lambda f: f.input.throttle, "%"),
    "duty": (lambda f: [f.command.duty], "%"),
    "current": (lambda f: [f.input.motor_current], "A"),
    "supply": (lambda f: [f.input.supply], "V"),
}

#: And of the engine, where there is one.
ENGINE: dict[str, tuple[Callable[[Any], Sequence[float]], str]] = {
    "engine speed": (lambda f: [f.input.engine.speed / RPM], "rpm"),
    "idle asks": (lambda f: [f.input.idle_opening], "%"),
}

#: Beside it, what the controller cannot know, from the record of the same tick.
TRUE = {"foot asks": "asked", "true opening": "blade.opening"}


def titles(with_engine: bool) -> list[str]:
    """Of a frame's signals, in order."""
    return [*TRUE, *_shown(with_engine)]


def frames(result: Any, tracks: Mapping[str, int], most: int = 6) -> list[dict[str, Any]]:
    """One a trouble code of a run, in order: ``time`` [s], ``code``, ``meaning``, ``reaction`` before it, and
    ``signals``.

    ``signals`` are texts by their :func:`titles`. ``tracks`` says how many the pedal and the
    throttle have. Later codes than the first ``most`` are left out.
    """
    entries = [entry for entry in result.history.entries() if entry.frame is not None]
    entries.sort(key=lambda entry: entry.code.confirmed)
    return [_frame(entry, result.record, tracks) for entry in entries[:most]]


def text(frame: Mapping[str, Any]) -> str:
    """A frame on one line."""
    signals = ", ".join(f"{title} {shown}" for title, shown in frame["signals"].items())
    return f"{frame['code']} at {frame['time']:.3f} s, reaction {frame['reaction']}: {signals}"


def _frame(entry: Any, record: Any, tracks: Mapping[str, int]) -> dict[str, Any]:
    when = entry.code.confirmed
    row = min(int(np.searchsorted(record.time, when - 1e-9)), len(record.time) - 1)
    signals = {title: _text([float(record[name][row])], "%") for title, name in TRUE.items()}
    for title, (taken, unit) in _shown("engine.speed" in record.names).items():
        count = tracks.get(title.removesuffix(" tracks"))  # of what is no track: all there is
        signals[title] = _text([float(value) for value in taken(entry.frame)][:count], unit)
    return {
        "time": when,
        "code": entry.code.text,
        "meaning": entry.code.meaning,
        "reaction": entry.frame.reaction,
        "signals": signals,
    }


def _shown(with_engine: bool) -> dict[str, tuple[Callable[[Any], Sequence[float]], str]]:
    return SHOWN | ENGINE if with_engine else SHOWN


def _text(values: Sequence[float], unit: str) -> str:
    scale = 100 if unit == "%" else 1
    digits = {"V": 2, "rpm": 0}.get(unit, 1)
    shown = " / ".join(f"{scale * value:.{digits}f}" for value in values).replace("-", "−")
    return f"{shown} {unit}"
