# SPDX-License-Identifier: BSD-3-Clause
"""Voltages for a test stand, and what its instruments would show of a simulated body.

Caution: on a real body the blade moves by itself under every one of these voltages.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import _core
from ..errors import InputError
from .reading import Floats

#: Least distance [V] of a level from the band in which the blade sticks. A step that just breaks it away, or
#: just does not, decides where it is for seconds: no fit is smooth there.
_CLEAR = 0.4


@dataclass(frozen=True)
class Instruments:
    """Noise (rms, normal), converter and delays of what is logged."""

    track_noise: float = 3e-3
    """[V] of a track that spans ``track_span``."""
    current_noise: float = 30e-3
    """[A]"""
    track_span: float = 3.8
    """[V] over the travel."""
    bits: int = 12
    """Of both converters; 0: none."""
    reference: float = 5.0
    """[V] full scale of the track's converter."""
    current_range: float = 20.0
    """[A] full scale, −range/2 … range/2."""
    angle_delay: float = 0.0
    """[s]"""


def hold_band(mechanics: Any) -> tuple[float, float]:
    """Voltages [V] within which the blade stays where it is at half travel: closing, opening."""
    stops = mechanics.stops
    middle = 0.5 * (stops.closed_angle + stops.open_angle)
    return (
        _core.hold_voltage(mechanics, middle, opening=False),
        _core.hold_voltage(mechanics, middle, opening=True),
    )


def strokes(
    mechanics: Any, seconds: float, *, seed: int = 1, period: float = 1e-3, most: float = 9.0
) -> Floats:
    """A rest, then steps and ramps of voltage on both sides of the band in which friction holds the blade.

    Levels lie 0.4 to 2.2 V beyond the band of ``mechanics`` (a guess will do), above the default position and
    below it, within ± ``most`` [V]; pieces last 60 to 350 ms, every fifth is a ramp. Shape (seconds/period,).
    """
    if not (np.isfinite(seconds) and seconds >= 1.0):
        raise InputError(f"seconds: at least 1 is needed; got {seconds}")
    draw = np.random.default_rng(seed)
    low, high = hold_band(mechanics)
    below = _below_default(mechanics, low)
    count = round(seconds / period)
    out = np.zeros(count)
    k, level = round(0.3 / period), 0.0
    while k < count:
        length = round(draw.uniform(0.06, 0.35) / period)
        kind = draw.random()
        if kind < 0.08:
            goal = 0.0
        elif kind < 0.52:
            goal = high + draw.uniform(_CLEAR, 2.2)
        elif kind < 0.72:
            goal = below - draw.uniform(_CLEAR, 1.5)
        else:
            goal = low - draw.uniform(_CLEAR, 2.2)
        goal = float(np.clip(goal, -most, most))
        piece = np.linspace(level, goal, length) if draw.random() < 0.2 else np.full(length, goal)
        out[k : k + length] = piece[: count - k]
        k, level = k + length, goal
    return out


def _below_default(mechanics: Any, low: float) -> float:
    """Voltage [V] that closes the blade from its default position; ``low`` where there is nothing below
    it."""
    shut, rest = mechanics.stops.closed_angle, mechanics.springs.rest_angle
    if rest <= shut:
        return low
    return float(_core.hold_voltage(mechanics, 0.5 * (shut + rest), opening=False))


@dataclass(frozen=True)
class Measured:
    """What the instruments show: ``time`` [s], ``voltage`` [V], ``angle`` [rad], ``current`` [A]."""

    time: Floats
    voltage: Floats
    angle: Floats
    current: Floats

    def to_csv(self, path: Any) -> None:
        """As a log file with units in its head."""
        import pandas as pd

        columns = {"time [s]": self.time, "voltage [V]": self.voltage, "current [A]": self.current}
        pd.DataFrame(columns | {"angle [rad]": self.angle}).to_csv(path, index=False, float_format="%.7g")


def measure(
    body: Any,
    voltage: Floats,
    *,
    period: float = 1e-3,
    resistance: float = 0.05,
    instruments: Instruments | None = None,
    seed: int = 1,
) -> Measured:
    """A body under the voltages in the exact solver, seen through instruments; ``resistance`` [Ω] of source
    and leads. The delay is a whole number of hundredths of a period, interpolated from a simulation that
    fine where needed."""
    seen = instruments or Instruments()
    mechanics = getattr(body, "mechanics", body)
    current, angle = _core.on_test_stand(mechanics, voltage, period=period, resistance=resistance)
    if seen.angle_delay > 0.0:
        angle = _late(mechanics, voltage, period, resistance, seen.angle_delay)
    draw = np.random.default_rng([seed, 7])
    travel = mechanics.stops.open_angle - mechanics.stops.closed_angle
    per_volt = travel / seen.track_span
    volts = (angle - mechanics.stops.closed_angle) / per_volt + 0.5
    volts = volts + seen.track_noise * draw.standard_normal(len(volts))
    current = current + seen.current_noise * draw.standard_normal(len(current))
    if seen.bits:
        codes = 2.0**seen.bits - 1.0
        volts = np.round(volts / seen.reference * codes) / codes * seen.reference
        current = np.round(current / seen.current_range * codes) / codes * seen.current_range
    angle = (volts - 0.5) * per_volt + mechanics.stops.closed_angle
    return Measured(
        np.asarray(period * np.arange(len(volts))), np.asarray(voltage, dtype=float), angle, current
    )


def _late(mechanics: Any, voltage: Floats, period: float, resistance: float, delay: float) -> Floats:
    """The angle as it was ``delay`` [s] before each sample, from a simulation with ten times the samples."""
    fine = 10
    _, angle = _core.on_test_stand(
        mechanics, np.repeat(voltage, fine), period=period / fine, resistance=resistance
    )
    grid = np.arange(len(angle)) * period / fine
    return np.asarray(np.interp(np.arange(len(voltage)) * period - delay, grid, angle))
