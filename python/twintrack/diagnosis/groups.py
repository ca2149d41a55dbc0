# SPDX-License-Identifier: BSD-3-Clause
"""Causes that no reading distinguishes, put together.

Two causes are apart when readings separate them by more than their scatter (over tolerances and severity):

    one reading    d = |m_i − m_j| / √(s_i² + s_j² + 2 meter²) ≥ 1.5, or no draw of one meets one of the other
    volts of one assembly together    d² = Δᵀ (S_i + S_j + 2 meter²)⁻¹ Δ,  the same bound
    a sign         its distributions overlap by less than a quarter

Complete linkage: all members of a group are alike, pair by pair.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.cluster import hierarchy
from scipy.spatial.distance import squareform

from .dictionary import Dictionary
from .likelihood import FLOOR, Signs
from .readings import Floats, Meter, Reading, meter_deviation, scaled

#: Beyond which two causes are told apart.
APART = 1.5
_SIGN_OVERLAP = 0.25


def distances(known: Dictionary, readings: Sequence[Reading], meter: Meter) -> Floats:
    """The largest separation of each two causes over these readings, causes × causes."""
    count = len(known.causes)
    found = np.zeros((count, count))
    for reading in readings:
        if reading.number:
            np.maximum(found, _of_number(known, reading, meter), out=found)
        else:
            overlap = _overlap(Signs(known, reading.kind))
            np.maximum(found, np.where(overlap < _SIGN_OVERLAP, APART, 0.0), out=found)
    for assembly in ("pedal", "throttle"):
        np.maximum(found, _together(known, [r for r in readings if _moves(r, assembly)], meter), out=found)
    np.fill_diagonal(found, 0.0)
    return found


def _moves(reading: Reading, assembly: str) -> bool:
    """The volts of a signal pin, which distinguish offset from gain only together."""
    return reading.kind == "volts" and reading.a.startswith(f"pin {assembly} signal")


def _together(known: Dictionary, readings: Sequence[Reading], meter: Meter) -> Floats:
    """The same of several volts at once."""
    count = len(known.causes)
    if len(readings) < 2:
        return np.zeros((count, count))
    draws = np.stack([known.numbers(r) for r in readings], axis=2)
    mean = draws.mean(axis=1)
    apart = draws - mean[:, None, :]
    own = np.einsum("cni,cnj->cij", apart, apart) / (known.draws - 1)
    noise = np.stack(
        [meter_deviation(r, np.median(known.numbers(r), axis=1), meter) for r in readings], axis=1
    )
    index = np.arange(len(readings))
    own[:, index, index] += noise**2 + FLOOR["volts"] ** 2
    found = np.zeros((count, count))
    for k in range(count):
        delta = mean - mean[k]
        solved = np.linalg.solve(own + own[k], delta[:, :, None])[:, :, 0]
        found[k] = np.sqrt(np.einsum("ci,ci->c", delta, solved))
    return found


def _of_number(known: Dictionary, reading: Reading, meter: Meter) -> Floats:
    values = known.numbers(reading)
    draws = scaled(reading, values)
    mean = draws.mean(axis=1)
    noise = meter_deviation(reading, np.median(values, axis=1), meter)
    variance = draws.var(axis=1, ddof=1) + FLOOR[reading.kind] ** 2 + noise**2
    found = np.abs(mean[:, None] - mean[None, :]) / np.sqrt(variance[:, None] + variance[None, :])
    bound = np.sqrt(3.0) * meter_deviation(reading, values, meter)
    low, high = (draws - bound).min(axis=1), (draws + bound).max(axis=1)
    clear = (low[:, None] > high[None, :]) | (high[:, None] < low[None, :])
    return np.asarray(np.where(clear, np.maximum(found, APART), found))


def _overlap(signs: Signs) -> Floats:
    """Σ min(p, q) over the outcomes."""
    shares = np.array([[counts[o] for o in signs.outcomes] for counts in signs.counts], dtype=float)
    shares /= np.maximum(shares.sum(axis=1, keepdims=True), 1.0)
    return np.asarray(np.minimum(shares[:, None, :], shares[None, :, :]).sum(axis=2))


def groups(known: Dictionary, readings: Sequence[Reading], meter: Meter) -> list[list[int]]:
    """Numbers of the causes that belong together, each cause once; in the order of the causes."""
    if len(known.causes) < 2:
        return [list(range(len(known.causes)))]
    apart = distances(known, readings, meter)
    tree = hierarchy.linkage(squareform(apart, checks=False), "complete")
    member = hierarchy.fcluster(tree, APART * (1.0 - 1e-9), "distance")
    found: dict[int, list[int]] = {}
    for cause, group in enumerate(member):
        found.setdefault(int(group), []).append(cause)
    return list(found.values())
