# SPDX-License-Identifier: BSD-3-Clause
"""The least-squares problem: residuals of a log and their exact derivatives by scaled unknowns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from .. import _core
from ..errors import InputError, closest, listing
from .log import Log
from .reading import Floats
from .statistics import ROBUST

UNITS = {name: unit for name, unit, _ in _core.log_unknowns()}
MEANINGS = {name: meaning for name, _, meaning in _core.log_unknowns()}

#: Unknowns of the log itself, with the size of a step of one in the scaled unknown.
OF_LOG = {"start_angle": 1e-2, "angle_delay": 1e-3, "current_delay": 1e-3, "current_offset": 0.1}

#: Angles of the body are scaled by this and not by themselves, since they may be zero [rad].
ANGLES = ("springs.rest_angle", "stops.closed_angle", "stops.open_angle")
_ANGLE_STEP = 1e-2

#: Lower and upper bound of a body's unknown, as a share of its scale.
_BOUNDS = (0.05, 20.0)


@dataclass(frozen=True)
class Leading:
    """How strongly a prediction is led by the measured angle: the bandwidth [1/s] of a double pole; 0: not
    at all."""

    bandwidth: float = 0.0

    def gains(self, period: float) -> tuple[float, float]:
        decay = float(np.exp(-self.bandwidth * period))
        return 1.0 - decay * decay, (1.0 - decay) ** 2 / period


@dataclass
class Problem:
    """Residuals (prediction − log)/σ of angle and current.

    ``mechanics`` holds what is not unknown, and where the unknowns begin; ``names`` are the unknowns. A
    body's unknown is scaled by its value in ``scale``, those of the log by ``OF_LOG``.
    """

    log: Log
    mechanics: Any
    names: tuple[str, ...]
    scale: Mapping[str, float]
    angle_sigma: float
    current_sigma: float
    substep: float = 2e-4
    leading: Leading = field(default_factory=Leading)
    _raw: dict[str, Floats] = field(init=False, repr=False, default_factory=dict)
    _raw_at: tuple[bytes, float, float] | None = field(init=False, repr=False, default=None)
    _both_at: tuple[bytes, float, float, float, float] | None = field(init=False, repr=False, default=None)
    _seen: tuple[Floats, Floats] | None = field(init=False, repr=False, default=None)

    def start(self) -> Floats:
        """Scaled: 1 for a body's unknowns (angles: themselves); the angle as first seen, hardly a delay, no
        offset."""
        first = float(np.nanmean(self.log.angle[: max(round(0.05 / self.log.period), 5)]))
        of_log = {"start_angle": first, "angle_delay": 2e-4, "current_delay": 2e-4, "current_offset": 0.0}
        values = [of_log[n] if n in OF_LOG else value_of(self.mechanics, n) for n in self.names]
        return np.array([v / self.step(n) for n, v in zip(self.names, values, strict=True)])

    def bounds(self) -> tuple[Floats, Floats]:
        """Delays from 0 to the longest one; other unknowns of log and angles free; the rest within a factor
        of 20."""
        delays = ("angle_delay", "current_delay")
        free = (*ANGLES, *OF_LOG)
        low = [0.0 if n in delays else -np.inf if n in free else _BOUNDS[0] for n in self.names]
        high = [
            19.9e-3 / OF_LOG[n] if n in delays else np.inf if n in free else _BOUNDS[1] for n in self.names
        ]
        return np.array(low), np.array(high)

    def values(self, x: Floats) -> dict[str, float]:
        """Unknowns in their units."""
        return {n: float(v) * self.step(n) for n, v in zip(self.names, x, strict=True)}

    def step(self, name: str) -> float:
        """What a step of one in the scaled unknown is in its unit."""
        return OF_LOG.get(name, _ANGLE_STEP if name in ANGLES else self.scale.get(name, 1.0))

    def body(self, x: Floats) -> Any:
        """The mechanics with the unknowns' values; break-away is never below sliding friction."""
        changes = {n: v for n, v in self.values(x).items() if n not in OF_LOG}
        coulomb = changes.get("friction.coulomb", self.mechanics.friction.coulomb)
        breakaway = changes.get("friction.breakaway", self.mechanics.friction.breakaway)
        if breakaway < coulomb:
            changes["friction.breakaway"] = coulomb
        return self.mechanics.replace(changes)

    def prediction(self, x: Floats, *, slopes: bool = True) -> dict[str, Floats]:
        log, values = self.log, self.values(x)
        of_log = {n: v for n, v in values.items() if n in OF_LOG}
        first = of_log.setdefault("start_angle", float(np.nanmean(log.angle[:20])))
        of_log["start_angle"] = first
        led: dict[str, Any] = {}
        if self.leading.bandwidth > 0.0:
            shares = self.leading.gains(log.period)
            led = {"angle": log.angle, "angle_gain": shares[0], "speed_gain": shares[1]}
        return _core.predict_log(
            self.body(x),
            log.voltage,
            period=log.period,
            resistance=log.resistance,
            substep=self.substep,
            log=of_log,
            by=list(self.names) if slopes else [],
            **led,
        )

    def residuals(self, x: Floats) -> Floats:
        return self._evaluated(np.asarray(x, dtype=float))[0]

    def jacobian(self, x: Floats) -> Floats:
        return self._evaluated(np.asarray(x, dtype=float))[1]

    def short(self, x: Floats) -> Floats:
        """As many residuals as unknowns, and one more, with the cost and the gradient of all of them."""
        return self._both(x)[0]

    def short_slopes(self, x: Floats) -> Floats:
        """The Jacobian of ``short``: RᵀR = Σ gᵀg of all rows."""
        return self._both(x)[1]

    def _both(self, x: Floats) -> tuple[Floats, Floats]:
        key = (*self._key(x), self.angle_sigma, self.current_sigma)
        if self._seen is None or key != self._both_at:
            self._seen, self._both_at = shortened(*self._evaluated(np.asarray(x, dtype=float))), key
        return self._seen

    def _key(self, x: Floats) -> tuple[bytes, float, float]:
        return np.asarray(x, dtype=float).tobytes(), self.substep, self.leading.bandwidth

    def _predicted(self, x: Floats) -> dict[str, Floats]:
        """The last prediction is kept, since residuals, slopes and weights ask for the same."""
        key = self._key(x)
        if key != self._raw_at:
            self._raw, self._raw_at = self.prediction(x), key
        return self._raw

    def _evaluated(self, x: Floats) -> tuple[Floats, Floats]:
        log, p = self.log, self._predicted(x)
        steps = np.array([self.step(n) for n in self.names])
        seen = np.isfinite(log.angle)
        parts = [((p["angle"] - log.angle) / self.angle_sigma)[seen]]
        slopes = [p["by_angle"][seen] * steps / self.angle_sigma]
        if log.current is not None:
            seen = np.isfinite(log.current)
            parts.append(((p["current"] - log.current) / self.current_sigma)[seen])
            slopes.append(p["by_current"][seen] * steps / self.current_sigma)
        return np.nan_to_num(np.concatenate(parts), posinf=1e6, neginf=-1e6), np.nan_to_num(
            np.concatenate(slopes), posinf=0.0, neginf=0.0
        )


def shortened(residuals: Floats, jacobian: Floats) -> tuple[Floats, Floats]:
    """Robust residuals f = ± √ρ(r) with their slopes g, turned so that all but one are as many as the
    unknowns:

    R from the Cholesky factor of Σ gᵀg, Qᵀf = R⁻ᵀ Σ gᵀf, and the length of what is left. A least-squares
    solver sees the same cost, gradient and Gauss–Newton matrix as with all rows. G. H. Golub, C. F. Van
    Loan, Matrix Computations, ch. 5 (from memory).
    """
    z = np.sqrt(1.0 + (residuals / ROBUST) ** 2)
    f = ROBUST * np.sqrt(2.0 * (z - 1.0)) * np.sign(residuals)
    with np.errstate(invalid="ignore", divide="ignore"):
        slope = np.where(np.abs(residuals) > 1e-6, residuals / z / f, 1.0)
    g = jacobian * slope[:, None]
    square = g.T @ g
    scale = np.sqrt(np.maximum(np.diag(square), 1e-300))
    square = square / np.outer(scale, scale)
    root = np.linalg.cholesky(square + 1e-13 * np.eye(len(scale))).T
    turned = np.linalg.solve(root.T, (g.T @ f) / scale)
    left = np.sqrt(max(float(f @ f - turned @ turned), 0.0))
    zero = np.zeros((1, len(scale)))
    return np.concatenate([turned, [left]]), np.concatenate([root * scale, zero])


def check_names(names: Sequence[str]) -> tuple[str, ...]:
    """The unknowns, each once; raises :class:`InputError` for one that a log cannot be asked for."""
    for name in names:
        if name not in UNITS:
            raise InputError(
                f"{name!r} cannot be identified{closest(name, UNITS)} (there are: {listing(UNITS)})"
            )
    return tuple(dict.fromkeys(names))


def value_of(mechanics: Any, name: str) -> float:
    """The number at a dotted path of the mechanics."""
    value = mechanics
    for part in name.split("."):
        value = getattr(value, part)
    return float(value)
