# SPDX-License-Identifier: BSD-3-Clause
"""First values by linear regressions, each on the samples that show its unknowns best.

hold lines    |ω| small but sliding:  NK i = M_o + c_o (θ − θ₀) + M_C sgn ω + σ₂ ω      both directions
steps         u = R i + L di/dt + NK ω;   NK i = springs + M_C sgn ω + σ₂ ω + J dω/dt
from rest     break-away: the largest torque under which a blade at rest stays

Without current the torque is that of (u − NK ω)/R with the starting body's R and K. R. Isermann, Combustion
Engine Diagnosis, Springer 2017, §7.1.2 (equations 7.1.24 to 7.1.32).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import _core
from .log import Log
from .reading import Floats

_SLIDING = 0.15  # [rad/s] above which dry friction has its sliding value, nearly

_PRESSED = 0.5  # [V] beyond the voltage at which the blade would slide
_STOP_WHERE = 0.03  # [share of travel] within which a stop is looked for where the starting body has it


@dataclass(frozen=True)
class Stage:
    """What one stage found: ``values`` by dotted path, on how many samples, and what it could not find."""

    name: str
    values: dict[str, float]
    samples: int
    remark: str = ""


@dataclass(frozen=True)
class _Motion:
    """Smoothed signals and their slopes."""

    angle: Floats
    speed: Floats
    acceleration: Floats
    current: Floats | None
    current_rate: Floats | None
    voltage: Floats
    inside: np.ndarray  # away from the stops, from gaps and from the ends


def first_values(log: Log, mechanics: Any) -> list[Stage]:
    """The stages in order; values that make no sense (negative, hardly determined) are left out."""
    motion = _smoothed(log, mechanics)
    stages = [_ends(log, mechanics)]
    found = dict(stages[0].values)
    stages.append(_electrical(log, motion, mechanics))
    found |= stages[-1].values
    stages.append(_mechanical(log, motion, mechanics, found))
    found |= stages[-1].values
    stages.append(_breakaway(mechanics, found))
    return stages


def _smoothed(log: Log, mechanics: Any) -> _Motion:
    from scipy.signal import savgol_filter

    window = max(2 * round(0.006 / log.period) + 1, 7)
    angle = _filled(log.angle)

    def slope(x: Floats, order: int) -> Floats:
        return np.asarray(savgol_filter(x, window, 3, deriv=order, delta=log.period))

    stops = mechanics.stops
    margin = 0.01 * (stops.open_angle - stops.closed_angle) + 3.0 * log.angle_noise
    inside = (angle > np.min(angle) + margin) & (angle < np.max(angle) - margin)
    inside &= np.isfinite(log.angle)
    edge = window
    inside[:edge] = inside[-edge:] = False
    current = rate = None
    if log.current is not None:
        filled = _filled(log.current)
        short = max(2 * round(0.002 / log.period) + 1, 5)
        current = np.asarray(savgol_filter(filled, short, 2))
        rate = np.asarray(savgol_filter(filled, short, 2, deriv=1, delta=log.period))
    # A voltage that is held from a sample to the next acts half a period later.
    voltage = 0.5 * (log.voltage + np.concatenate([log.voltage[:1], log.voltage[:-1]]))
    return _Motion(slope(angle, 0), slope(angle, 1), slope(angle, 2), current, rate, voltage, inside)


def _filled(x: Floats) -> Floats:
    known = np.isfinite(x)
    return np.asarray(np.interp(np.arange(len(x)), np.flatnonzero(known), x[known]))


def _ends(log: Log, mechanics: Any) -> Stage:
    """Default position from the first rest without voltage; stops where the blade is pressed against them."""
    values: dict[str, float] = {}
    quiet = np.flatnonzero(np.abs(log.voltage) > 0.05)
    first = int(quiet[0]) if quiet.size else len(log.voltage)
    stops = mechanics.stops
    if first * log.period >= 0.05 and mechanics.springs.rest_angle > stops.closed_angle:
        values["springs.rest_angle"] = float(np.nanmedian(log.angle[:first]))
    travel = stops.open_angle - stops.closed_angle
    for name, side, at in (("stops.closed_angle", -1.0, stops.closed_angle),
                           ("stops.open_angle", 1.0, stops.open_angle)):  # fmt: skip
        # More than friction could hold, by the starting body: a blade that only sticks is at no stop.
        held = _core.hold_voltage(mechanics, at, opening=side > 0.0)
        pushed = log.angle[np.isfinite(log.angle) & (side * (log.voltage - held) > _PRESSED)]
        if len(pushed) < 100:
            continue
        edge = side * float(np.quantile(side * pushed, 0.995))
        pressed = np.abs(pushed - edge) < max(4.0 * log.angle_noise, 1e-3)
        if pressed.mean() > 0.02 and abs(edge - at) < _STOP_WHERE * travel:
            values[name] = float(np.median(pushed[pressed]))
    return Stage("ends", values, first)


def _electrical(log: Log, m: _Motion, mechanics: Any) -> Stage:
    """u = (R + R_leads) i + L di/dt + NK ω."""
    if m.current is None or m.current_rate is None:
        return Stage("steps, electrical", {}, 0, "no current: R, L and K stay as the starting body's")
    use = m.inside & (np.abs(m.speed) < 60.0)
    terms = np.column_stack([m.current, m.current_rate, m.speed])[use]
    drop = mechanics.motor.brush_drop * m.current / (np.abs(m.current) + 0.05)
    answer, _ = _regressed(terms, (m.voltage - drop)[use])
    warm = 1.0 + 0.00393 * (mechanics.motor.temperature - 20.0)
    resistance, inductance, constant = answer
    values = {
        "motor.resistance": (resistance - log.resistance) / warm,
        "motor.inductance": inductance,
        "motor.constant": constant / mechanics.motor.gear_ratio,
    }
    return _sensible("steps, electrical", values, int(use.sum()))


def _mechanical(log: Log, m: _Motion, mechanics: Any, found: dict[str, float]) -> Stage:
    """Springs, sliding and viscous friction and inertia from all samples in which the blade slides."""
    ratio = mechanics.motor.gear_ratio
    constant = found.get("motor.constant", mechanics.motor.constant) * ratio
    rest = found.get("springs.rest_angle", mechanics.springs.rest_angle)
    if m.current is None:
        warm = 1.0 + 0.00393 * (mechanics.motor.temperature - 20.0)
        current = (m.voltage - constant * m.speed) / (mechanics.motor.resistance * warm + log.resistance)
    else:
        current = m.current
    torque = constant * current
    # The gear's loss is friction that is known: it follows the torque.
    torque = torque - (1.0 - mechanics.motor.gear_efficiency) * np.abs(torque) * np.sign(m.speed)
    use = m.inside & (np.abs(m.speed) > _SLIDING) & (np.abs(m.angle - rest) > 0.02)
    above = (m.angle > rest).astype(float)
    terms = np.column_stack([
        above, above * (m.angle - rest), 1.0 - above, (1.0 - above) * (rest - m.angle),
        np.sign(m.speed), m.speed, m.acceleration,
    ])  # fmt: skip
    use, terms, torque = _slowly(use, terms, torque, log.period)
    terms, torque = terms[use], torque[use]
    used = np.abs(terms).sum(axis=0) > 20.0 * np.array([1.0, 0.1, 1.0, 0.01, 1.0, 1.0, 1.0])
    if int(use.sum()) < 200:
        return Stage("hold lines and steps", {}, int(use.sum()), "the blade hardly slides")
    answer = np.full(7, np.nan)
    answer[used], _ = _regressed(terms[:, used], torque)
    names = ("springs.open_preload", "springs.open_rate", "springs.close_preload", "springs.close_rate",
             "friction.coulomb", "friction.viscous", "inertia")  # fmt: skip
    signs = (1.0, 1.0, -1.0, -1.0, 1.0, 1.0, 1.0)
    values = {n: s * float(v) for n, s, v in zip(names, signs, answer, strict=True) if np.isfinite(v)}
    return _sensible("hold lines and steps", values, int(use.sum()))


def _slowly(use: np.ndarray, terms: Floats, aim: Floats, period: float) -> tuple[np.ndarray, Floats, Floats]:
    """All terms behind the same low-pass of 15 Hz, which leaves the equation true and takes the noise of the
    slopes; used where the blade has slid freely for as long as the filter remembers.

    State-variable filter: Isermann 2017, p. 238.
    """
    from scipy.signal import butter, lfilter

    b, a = butter(2, min(15.0, 0.2 / period), fs=1.0 / period)
    memory = max(round(0.03 / period), 3)
    free = np.convolve(use.astype(float), np.ones(memory), "full")[: len(use)] > memory - 0.5
    return free, np.asarray(lfilter(b, a, terms, axis=0)), np.asarray(lfilter(b, a, aim))


def _breakaway(mechanics: Any, found: dict[str, float]) -> Stage:
    """A first guess keeps the starting body's ratio of break-away to sliding friction."""
    f = mechanics.friction
    if "friction.coulomb" not in found:
        return Stage("from rest", {}, 0, "break-away stays as the starting body's")
    ratio = f.breakaway / f.coulomb
    return Stage("from rest", {"friction.breakaway": ratio * found["friction.coulomb"]}, 0,
                 "break-away starts from the starting body's ratio to sliding friction")  # fmt: skip


def _regressed(terms: Floats, aim: Floats) -> tuple[Floats, Floats]:
    """Least squares, the worst tenth of the residuals left out in a second pass."""
    scale = np.sqrt(np.mean(terms**2, axis=0)) + 1e-300
    answer = np.linalg.lstsq(terms / scale, aim, rcond=None)[0]
    rest = np.abs(aim - terms / scale @ answer)
    good = rest <= np.quantile(rest, 0.9)
    answer = np.linalg.lstsq(terms[good] / scale, aim[good], rcond=None)[0]
    return answer / scale, rest


def _sensible(name: str, values: dict[str, float], samples: int) -> Stage:
    bad = [n for n, v in values.items() if not (np.isfinite(v) and v > 0.0)]
    remark = f"left as they were, not positive: {', '.join(bad)}" if bad else ""
    return Stage(name, {n: float(v) for n, v in values.items() if n not in bad}, samples, remark)
