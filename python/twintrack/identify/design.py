# SPDX-License-Identifier: BSD-3-Clause
"""Which voltages to put on a test stand so that the least certain unknown becomes as certain as possible.

Greedy: of many random pieces that keep to the limits, the one is added that lowers the worst standard
deviation most, until the time is used up. Optimal input design, criterion E in relative unknowns: G. C.
Goodwin, R. L. Payne, Dynamic System Identification, 1977 (from memory).

Caution: on a real body the blade moves by itself under these voltages.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import _core
from ..errors import InputError
from .experiment import Instruments, strokes
from .fitting import UNKNOWNS
from .log import Log
from .problem import OF_LOG, Problem, check_names, value_of
from .reading import Floats


@dataclass(frozen=True)
class Limits:
    """What a test may do; checked in simulation with the guessed body, so leave room."""

    current: float = 6.0
    """[A] either way."""
    voltage: float = 9.0
    """[V] either way."""
    openings: tuple[float, float] = (0.0, 1.0)
    """Least and largest opening [share of travel] while it is driven."""


@dataclass(frozen=True)
class TestPlan:
    """Voltages [V] at a constant ``period`` [s]; ``deviations`` of the unknowns to be expected, as shares."""

    __test__ = False  # no test of pytest's

    period: float
    voltage: Floats
    deviations: dict[str, float]
    largest_current: float
    """[A]"""
    openings: tuple[float, float]
    tried: int
    """Pieces that kept to the limits."""


def design(
    body: Any,
    *,
    seconds: float = 30.0,
    unknowns: Sequence[str] = UNKNOWNS,
    limits: Limits | None = None,
    instruments: Instruments | None = None,
    resistance: float = 0.0,
    piece: float = 3.0,
    candidates: int = 40,
    seed: int = 1,
    period: float = 1e-3,
) -> TestPlan:
    """A test of ``seconds`` for a body like ``body`` (``ThrottleBodyParameters``, a guess), logged with
    current.

    Raises :class:`InputError` when no piece keeps to the limits.
    """
    names = check_names([*unknowns])
    allowed, tools = limits or Limits(), instruments or Instruments()
    if not piece <= seconds:
        raise InputError(f"seconds: at least {piece:g} are needed; got {seconds}")
    pieces, information = [], []
    for k in range(candidates):
        voltage = strokes(body.mechanics, piece, seed=seed * 1000 + k, period=period, most=allowed.voltage)
        if not _kept(body, voltage, period, resistance, allowed):
            continue
        pieces.append(voltage)
        information.append(_information(body, voltage, period, resistance, names, tools))
    if not pieces:
        raise InputError("limits: none of the pieces keeps to them; allow more current, voltage or opening")
    chosen = _greedy(information, len(names), max(round(seconds / piece), 1))
    whole = np.concatenate([pieces[k] for k in chosen])
    current, angle = _core.on_test_stand(body.mechanics, whole, period=period, resistance=resistance)
    last = _information(body, whole, period, resistance, names, tools)
    deviations = _deviations(last)
    share = _opening(body, angle)
    return TestPlan(
        period,
        whole,
        dict(zip(names, deviations[: len(names)], strict=True)),
        float(np.abs(current).max()),
        (float(share.min()), float(share.max())),
        len(pieces),
    )


def _opening(body: Any, angle: Floats) -> Floats:
    stops = body.mechanics.stops
    return np.asarray((angle - stops.closed_angle) / (stops.open_angle - stops.closed_angle))


def _kept(body: Any, voltage: Floats, period: float, resistance: float, limits: Limits) -> bool:
    current, angle = _core.on_test_stand(body.mechanics, voltage, period=period, resistance=resistance)
    share = _opening(body, angle)
    low, high = limits.openings
    slack = 0.01  # a stop gives way a little when the blade hits it
    return bool(
        np.abs(current).max() <= limits.current and share.min() >= low - slack and share.max() <= high + slack
    )


def _information(
    body: Any, voltage: Floats, period: float, resistance: float, names: Sequence[str], tools: Instruments
) -> Floats:
    """Fisher's information of relative unknowns, then of the start angle and the delay."""
    mechanics = body.mechanics
    travel = mechanics.stops.open_angle - mechanics.stops.closed_angle
    codes = 2.0**tools.bits - 1.0 if tools.bits else np.inf
    track = np.hypot(tools.track_noise, tools.reference / codes / np.sqrt(12.0)) * travel / tools.track_span
    amps = np.hypot(tools.current_noise, tools.current_range / codes / np.sqrt(12.0))
    start = np.full(len(voltage), _core.default_angle(mechanics))
    log = Log("plan", period, voltage, start, np.zeros(len(voltage)), resistance, track, amps, ())
    scale = {n: max(abs(value_of(mechanics, n)), 1e-9) for n in names if n not in OF_LOG}
    problem = Problem(
        log, mechanics, (*names, "start_angle", "angle_delay"), scale, float(track), float(amps)
    )
    slopes = problem.jacobian(problem.start())
    return np.asarray(slopes.T @ slopes)


def _deviations(information: Floats) -> Floats:
    scale = np.sqrt(np.maximum(np.diag(information), 1e-12))
    inverse = np.linalg.pinv(information / np.outer(scale, scale), rcond=1e-12, hermitian=True)
    return np.asarray(np.sqrt(np.maximum(np.diag(inverse), 0.0)) / scale)


def _greedy(information: Sequence[Floats], unknowns: int, count: int) -> list[int]:
    """Pieces in the order in which they are added; each may come again."""
    # A little is known from the start, so that the first pieces can be compared at all.
    total = 1e-2 * np.eye(len(information[0]))
    chosen: list[int] = []
    for _ in range(count):
        worst = [float(_deviations(total + more)[:unknowns].max()) for more in information]
        best = int(np.argmin(worst))
        chosen.append(best)
        total = total + information[best]
    return chosen
