# SPDX-License-Identifier: BSD-3-Clause
"""A log made ready for fitting: one clock, one rate, voltage and angle, and what is wrong with it in
sentences."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..errors import InputError
from .reading import Floats, RawLog

#: Beyond these a unit is probably wrong: signal → (largest size, what to ask).
_PLAUSIBLE = {
    "voltage": (60.0, "is it in mV?"),
    "supply": (60.0, "is it in mV?"),
    "duty": (1.05, "is it in %?"),
    "current": (60.0, "is it in mA?"),
    "angle": (2.5, "is it in deg?"),
    "opening": (1.3, "is it in %?"),
    "track1": (12.0, "is it in mV?"),
    "track2": (12.0, "is it in mV?"),
    "track3": (12.0, "is it in mV?"),
}
_FASTEST_NEEDED = 2.5e-3  # [s] armature time constants are about 1 ms
_SLOWEST = 20e-3  # [s]


@dataclass(frozen=True)
class Log:
    """Signals at a constant rate. NaN in ``angle`` and ``current`` where nothing was logged."""

    source: str
    period: float
    """[s]"""
    voltage: Floats
    """[V] of the source, held from each sample to the next."""
    angle: Floats
    """[rad]"""
    current: Floats | None
    """[A]"""
    resistance: float
    """[Ω] between the source and the motor."""
    angle_noise: float
    """[rad] rms, as far as one sample tells from the next."""
    current_noise: float
    """[A] rms."""
    remarks: tuple[str, ...]
    tracks: tuple[Floats, ...] = ()
    """[V]"""

    @property
    def time(self) -> Floats:
        return np.asarray(self.period * np.arange(len(self.voltage)))

    def without_current(self) -> Log:
        return replace(self, current=None)


def prepare(raw: RawLog, body: Any, *, resistance: float = 0.0) -> Log:
    """``body`` (``ThrottleBodyParameters``) says where the stops are and whether track 1 rises;
    ``resistance`` [Ω] lies between the voltage as logged and the motor (bridge, leads).

    Raises :class:`InputError` for a log without information: constant, too slow, without time or voltage.
    """
    columns, remarks = dict(raw.columns), list(raw.remarks)
    _units(raw.source, columns)
    if "voltage" not in columns:
        columns["voltage"] = columns["duty"] * columns["supply"]
    period, table = _regular(raw.source, columns, remarks)
    voltage = _held(raw.source, table["voltage"], remarks)
    angle, noise = _angle(raw.source, table, body, remarks)
    current = table.get("current")
    _said_of(raw.source, voltage, angle, current, period, body, remarks)
    begin = _first_rest(angle, voltage, noise, period)
    if begin is None:
        raise InputError(
            f"{raw.source}: the blade is never at rest for 50 ms; the log must begin with a rest"
        )
    if begin > 0:
        remarks.append(f"the first {begin * period:.3g} s are left out: the blade moves there")
    cut = slice(begin, None)
    tracks = tuple(table[k][cut] for k in ("track1", "track2", "track3") if k in table)
    held = None if current is None else current[cut]
    return Log(raw.source, period, voltage[cut], angle[cut], held, resistance, noise,
               0.0 if held is None else noise_of(held), tuple(remarks), tracks)  # fmt: skip


def noise_of(signal: Floats) -> float:
    """Rms of what is new in each sample, robust: second differences, at least a code's own 1/√12."""
    known = signal[np.isfinite(signal)]
    if len(known) < 10:
        return 0.0
    second = np.abs(np.diff(known, 2))
    rough = 1.4826 * float(np.median(second)) / math.sqrt(6.0)
    steps = np.diff(np.unique(known[:20_000]))
    steps = steps[steps > 1e-9 * max(float(np.ptp(known)), 1e-300)]
    code = float(steps.min()) if len(steps) else 0.0
    return max(rough, code / math.sqrt(12.0))


def _units(source: str, columns: dict[str, Floats]) -> None:
    for name, values in columns.items():
        known = values[np.isfinite(values)]
        if not known.size:
            raise InputError(f"{source}: {name} holds no number")
        if name in _PLAUSIBLE:
            most, question = _PLAUSIBLE[name]
            # Half of the samples and not one: a spike is no wrong unit.
            if float(np.quantile(np.abs(known), 0.9)) > most:
                size = float(np.abs(known).max())
                raise InputError(
                    f"{source}: {name} reaches {size:.4g} (at most {most:g} is believed); {question}"
                )


def _regular(source: str, columns: dict[str, Floats], remarks: list[str]) -> tuple[float, dict[str, Floats]]:
    """One row a period: rows are put where their time says, and what is missing is NaN."""
    time = columns["time"]
    order = np.flatnonzero(np.isfinite(time))
    if len(order) < len(time):
        remarks.append(f"{len(time) - len(order)} rows without a time are left out")
    order = order[np.concatenate([[True], np.diff(time[order]) > 0.0])]
    if len(order) < 100:
        raise InputError(
            f"{source}: only {len(order)} rows with a time of their own; at least 100 are needed"
        )
    time = time[order]
    steps = np.diff(time)
    period = float(np.median(steps))
    if period > _SLOWEST:
        raise InputError(
            f"{source}: too slow: one row every {1e3 * period:.3g} ms (limit {1e3 * _SLOWEST:g} ms)"
        )
    if period > _FASTEST_NEEDED:
        remarks.append(
            f"slow: one row every {1e3 * period:.3g} ms; the armature's time constant is not identifiable"
        )
    index = np.concatenate([[0], np.cumsum(np.maximum(np.rint(steps / period), 1.0))]).astype(int)
    period = float(np.polyfit(index, time, 1)[0])
    jitter = float(np.std(time - time[0] - period * index) / period)
    count = int(index[-1]) + 1
    if count > 3 * len(order) + 1000:
        raise InputError(f"{source}: more than two thirds of the samples are missing")
    dropped = count - len(order)
    if dropped:
        longest = 1e3 * period * (int(np.diff(index).max()) - 1)
        remarks.append(f"{dropped} samples dropped, the longest gap {longest:.3g} ms")
    if jitter > 0.2:
        remarks.append(
            f"the time stamps jitter by {100 * jitter:.0f} % of a period rms; signals are interpolated"
        )
    table = {}
    for name, values in columns.items():
        if name == "time":
            continue
        table[name] = _placed(values[order], time, index, count, period, jitter > 0.2)
    return period, table


def _placed(
    values: Floats, time: Floats, index: np.ndarray, count: int, period: float, interpolate: bool
) -> Floats:
    if interpolate:
        return np.asarray(np.interp(time[0] + period * np.arange(count), time, values))
    out = np.full(count, np.nan)
    out[index] = values
    return out


def _held(source: str, voltage: Floats, remarks: list[str]) -> Floats:
    """Gaps in the voltage are filled with the value before, as it was held."""
    known = np.isfinite(voltage)
    if known.all():
        return voltage
    last = np.maximum.accumulate(np.where(known, np.arange(len(voltage)), -1))
    gap = int((np.arange(len(voltage)) - last).max())
    if gap > 20:
        remarks.append(f"the voltage is missing for up to {gap} samples in a row; its value before is held")
    return np.asarray(voltage[np.maximum(last, int(np.argmax(known)))])


def _angle(source: str, table: dict[str, Floats], body: Any, remarks: list[str]) -> tuple[Floats, float]:
    stops = body.mechanics.stops
    travel = stops.open_angle - stops.closed_angle
    if "angle" in table:
        return table["angle"], noise_of(table["angle"])
    if "opening" in table:
        angle = stops.closed_angle + travel * table["opening"]
        return angle, noise_of(angle)
    track = table["track1"]
    known = np.sort(track[np.isfinite(track)])
    low, high = (
        float(np.median(known[: max(len(known) // 200, 5)])),
        float(np.median(known[-max(len(known) // 200, 5) :])),
    )
    if high - low < 1e-3:
        raise InputError(f"{source}: track1 never changes; the blade does not move")
    rising = body.tracks[0].ratio[-1] > body.tracks[0].ratio[0]
    shut, wide = (low, high) if rising else (high, low)
    remarks.append(
        f"track 1 reads {shut:.4g} V and {wide:.4g} V at its ends; these are taken for closed and open stop, "
        f"{math.degrees(travel):.4g}° apart as the starting body says"
    )
    angle = stops.closed_angle + travel * (track - shut) / (wide - shut)
    return angle, noise_of(angle)


def _said_of(
    source: str,
    voltage: Floats,
    angle: Floats,
    current: Floats | None,
    period: float,
    body: Any,
    remarks: list[str],
) -> None:
    if float(np.ptp(voltage)) < 0.05:
        raise InputError(f"{source}: the voltage never changes; nothing excites the body")
    stops = body.mechanics.stops
    travel = stops.open_angle - stops.closed_angle
    moved = float(np.nanmax(angle) - np.nanmin(angle))
    if moved < 0.01 * travel:
        raise InputError(f"{source}: the blade never moves (by {math.degrees(moved):.2g}° in all)")
    if moved < 0.3 * travel:
        remarks.append(
            f"little excitation: the blade moves over {100 * moved / travel:.0f} % of its travel only"
        )
    missing = int(np.isnan(angle).sum())
    if missing:
        remarks.append(f"{missing} samples without an angle are left out of the fit")
    if current is None:
        remarks.append("no current: resistances, torques and inertia are identifiable as ratios only")
        return
    if float(np.nanmax(current) - np.nanmin(current)) == 0.0:
        raise InputError(f"{source}: the current never changes")
    for what, edge in (("largest", np.nanmax(current)), ("smallest", np.nanmin(current))):
        flat = _longest_run(current == edge)
        if flat >= 8 and flat * period > 4e-3 and abs(edge) > 0.2:
            remarks.append(
                f"the current stands at its {what} value ({edge:.3g} A) for {flat} samples: saturated?"
            )


def _longest_run(where: np.ndarray) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], where.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max()) if len(edges) else 0


def _first_rest(angle: Floats, voltage: Floats, noise: float, period: float) -> int | None:
    """The first sample of 50 ms in which neither blade nor voltage moves."""
    width = max(round(0.05 / period), 5)
    if len(angle) < 2 * width:
        return None
    from numpy.lib.stride_tricks import sliding_window_view

    filled = np.where(np.isfinite(angle), angle, np.nanmedian(angle))
    still = np.ptp(sliding_window_view(filled, width), axis=1) <= max(10.0 * noise, 1e-4)
    still &= np.ptp(sliding_window_view(voltage, width), axis=1) <= 0.2
    found = np.flatnonzero(still)
    return int(found[0]) if found.size else None
