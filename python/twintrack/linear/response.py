# SPDX-License-Identifier: BSD-3-Clause
"""Frequency response, margins and step response of linear systems."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError
from .system import Floats, LinearSystem

Complexes = NDArray[np.complex128]


def frequency_response(system: LinearSystem, frequency: Floats) -> Complexes:
    """G(jω), sampled G(e^{jωh}), of shape (frequencies, outputs, inputs); ``frequency`` [Hz]."""
    s = 2j * math.pi * np.asarray(frequency, dtype=float)
    at = np.exp(s * system.period) if system.period else s
    n = len(system.A)
    resolvent = at[:, None, None] * np.eye(n) - system.A
    held = np.broadcast_to(system.B.astype(complex), (len(at), *system.B.shape))
    return np.asarray(system.C @ np.linalg.solve(resolvent, held) + system.D)


class Margins(NamedTuple):
    """Of an open loop L: infinite (and the frequency NaN) where there is no crossing."""

    gain: float
    """Factor by which the gain may grow."""
    phase: float
    """[deg]"""
    gain_at: float
    """[Hz] where the phase is −180°."""
    phase_at: float
    """[Hz] where |L| = 1."""
    modulus: float
    """Smallest distance of L from −1: 1/M_s."""


def margins(system: LinearSystem, points: int = 4000) -> Margins:
    """The smallest margins of an open loop with one input and one output, from its frequency response.

    Crossings are interpolated on a logarithmic grid up to half the sampling rate (or 1000 times the fastest
    pole). Gain and phase margin and modulus: Åström & Murray, Feedback Systems, ch. 10 (from memory).
    """
    if (len(system.inputs), len(system.outputs)) != (1, 1):
        raise InputError("margins are those of one input and one output; use select()")
    f = _grid(system, points)
    response = frequency_response(system, f)[:, 0, 0]
    size, angle = np.abs(response), np.unwrap(np.angle(response))
    logs, turned = np.log(f), np.degrees(angle)
    phase, phase_at = math.inf, math.nan
    for at, value in _crossings(logs, np.log(size), turned):
        room = (value + 180.0 + 180.0) % 360.0 - 180.0  # nearest way to −180°, signed
        if abs(room) < abs(phase):
            phase, phase_at = room, math.exp(at)
    gain, gain_at = math.inf, math.nan
    around = np.mod(turned + 180.0 + 180.0, 360.0) - 180.0  # zero where the phase is −180°
    jumps = np.abs(np.diff(around)) > 180.0
    for at, value in _crossings(logs, around, np.log(size), skip=jumps):
        factor = math.exp(-value)
        if abs(math.log(factor)) < abs(math.log(gain)) if math.isfinite(gain) else True:
            gain, gain_at = factor, math.exp(at)
    return Margins(gain, phase, gain_at, phase_at, float(np.abs(1.0 + response).min()))


def _grid(system: LinearSystem, points: int) -> Floats:
    fast = np.abs(system.poles)
    top = 0.4999 / system.period if system.period else 1e3 * max(fast.max(), 1.0) / (2 * math.pi)
    return np.geomspace(top * 1e-6, top, points)


def _crossings(
    x: Floats, y: Floats, other: Floats, skip: NDArray[np.bool_] | None = None
) -> list[tuple[float, float]]:
    """Where y changes its sign: x and ``other`` there, by straight lines."""
    change = np.signbit(y[1:]) != np.signbit(y[:-1])
    if skip is not None:
        change &= ~skip
    found = []
    for k in np.flatnonzero(change):
        share = y[k] / (y[k] - y[k + 1])
        found.append((x[k] + share * (x[k + 1] - x[k]), other[k] + share * (other[k + 1] - other[k])))
    return found


def step_response(system: LinearSystem, duration: float, points: int = 1001) -> tuple[Floats, Floats]:
    """Time [s] and the outputs, of shape (times, outputs, inputs), to a step of one in each input.

    Sampled systems answer at their own ticks, continuous ones at ``points`` instants.
    """
    if not (math.isfinite(duration) and duration > 0.0):
        raise InputError(f"duration: must be a positive number of seconds; got {duration}")
    stepped = system if system.period else system.sampled(duration / (points - 1))
    count = round(duration / stepped.period) + 1
    out = np.empty((count, len(system.outputs), len(system.inputs)))
    x = np.zeros((len(stepped.A), len(system.inputs)))
    for k in range(count):
        out[k] = stepped.C @ x + stepped.D
        x = stepped.A @ x + stepped.B
    return np.asarray(stepped.period * np.arange(count)), out
