# SPDX-License-Identifier: BSD-3-Clause
"""The body from a log: estimates with intervals, what is not identifiable, and the body part file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ..errors import InputError
from ..files import output
from ..parts.part_file import part_text
from .fitting import UNKNOWNS, Fit, check_absolute, fit
from .log import Log
from .problem import ANGLES, MEANINGS, OF_LOG, UNITS, value_of
from .reading import Floats
from .statistics import SUSPECT, Direction, ResidualTest, covariance, directions, residual_tests

#: An estimate less sure than this share of itself (one standard deviation) is not identifiable.
_TOLD = 0.25
_TOGETHER = 0.999
_LAGS = 25

#: Which experiment shows an unknown that a log does not.
EXPERIMENTS = {
    "motor.resistance": "hold the blade against a stop at several voltages, with current logged",
    "motor.inductance": "steps of voltage, logged at least twice per millisecond",
    "motor.constant": "long fast strokes, with current logged",
    "motor.brush_drop": "small voltages of both signs against a stop, with current logged",
    "inertia": "steps of voltage that reverse the blade in mid-travel",
    "springs.rest_angle": "let the blade come to rest without voltage, from both sides",
    "springs.open_preload": "slow strokes above the default position, both ways",
    "springs.open_rate": "slow strokes over the whole travel, both ways",
    "springs.close_preload": "slow strokes between the closed stop and the default position, both ways",
    "springs.close_rate": "slow strokes between the closed stop and the default position, both ways",
    "friction.coulomb": "slow strokes, both ways, at the same angles",
    "friction.breakaway": "very slow ramps of voltage from rest until the blade breaks away",
    "friction.stribeck_speed": "strokes at a few speeds between 0.05 and 1 rad/s",
    "friction.viscous": "long fast strokes in mid-travel",
    "friction.bristle_stiffness": "small ramps of voltage from rest, short of breaking away; a fine track",
    "friction.bristle_damping": "small steps of voltage from rest, short of breaking away; a fine track",
    "stops.closed_angle": "press the blade on the closed stop",
    "stops.open_angle": "press the blade on the open stop",
}


@dataclass(frozen=True)
class Estimate:
    """One unknown, in ``unit``; ``low`` and ``high`` hold the true value in ``confidence`` of all logs like
    this."""

    name: str
    unit: str
    meaning: str
    value: float
    deviation: float
    low: float
    high: float
    start: float
    identifiable: bool
    ratio: bool = False
    """Times R/(N K) (torques, inertia) or divided by R (inductance): no absolute value."""

    @property
    def label(self) -> str:
        """The name, with what it is multiplied by."""
        if not self.ratio:
            return self.name
        if self.name == "friction.viscous":
            return "N K + friction.viscous × R/(N K)"
        return self.name + (" / R" if self.name == "motor.inductance" else " × R/(N K)")


@dataclass(frozen=True)
class Identification:
    """Estimates in the order of the fit; ``correlation`` between them; ``tests`` of the residuals."""

    log: Log
    start: Any
    estimates: tuple[Estimate, ...]
    correlation: Floats
    tests: tuple[ResidualTest, ...]
    residuals: dict[str, Floats]
    """Predicted minus logged, [rad] and [A]; NaN where nothing was logged."""
    predicted: dict[str, Floats]
    confidence: float
    fit: Fit
    remarks: tuple[str, ...]
    directions: tuple[Direction, ...] = ()
    """Combinations of the body's unknowns that are estimated independently, the least certain first."""

    def __getitem__(self, name: str) -> Estimate:
        for estimate in self.estimates:
            if estimate.name == name:
                return estimate
        raise KeyError(name)

    @property
    def body(self) -> Any:
        """The starting body with what was identified. Raises :class:`InputError` when only ratios are
        identifiable."""
        check_absolute(self.fit)
        mechanics = self.fit.problem.body(self.fit.x)
        changes = {n: value_of(mechanics, n) for n in self.fit.problem.names if n not in OF_LOG}
        changes |= {"motor.resistance": mechanics.motor.resistance}
        name = f"{self.start.name}, identified"
        about = f"identified from {Path(self.log.source).name}, starting from {self.start.name}"
        return self.start.replace({f"mechanics.{n}": v for n, v in changes.items()}).replace(
            {"name": name, "origin": about}
        )

    def write_body(self, path: str | Path) -> Path:
        """The body as a part file that studies take, each identified value with its interval beside it."""
        path = Path(path)
        text = part_text("body", self.body, {e.name: (e.low, e.high) for e in self.estimates})
        output.write(output.make_folder(path.parent) / path.name, text.encode())
        return path

    def table(self) -> list[list[str]]:
        """Rows for people: unknown, estimate, interval, spread, start."""
        return [
            [
                e.label,
                f"{e.value:.5g} {e.unit}".strip(),
                f"{e.low:.5g} … {e.high:.5g}",
                f"{100 * e.deviation / abs(e.value):.2g} %" if e.value else "–",
                f"{e.start:.4g}",
                "" if e.identifiable else "not identifiable from this log",
            ]
            for e in self.estimates
        ]


def identify(
    log: Log,
    body: Any,
    *,
    unknowns: Sequence[str] = UNKNOWNS,
    known: Mapping[str, float] | None = None,
    starts: int = 1,
    jobs: int = 2,
    confidence: float = 0.95,
    seed: int = 1,
) -> Identification:
    """See :func:`twintrack.identify.fitting.fit`; ``confidence`` is that of the intervals."""
    if not 0.5 <= confidence < 1.0:
        raise InputError(f"confidence: must lie between 0.5 and 1; got {confidence}")
    found = fit(log, body, unknowns=unknowns, known=known, starts=starts, jobs=jobs, seed=seed)
    problem = found.problem
    names = problem.names
    residuals, predicted = _signals(found)
    tests = [t for signal, r in residuals.items() for t in residual_tests(signal, r)]
    white = all(t.p > SUSPECT for t in tests)
    spread = covariance(found.jacobian, found.residuals, 0 if white else _LAGS)
    deviation = np.sqrt(np.maximum(np.diag(spread), 0.0))
    correlation = spread / np.outer(np.maximum(deviation, 1e-300), np.maximum(deviation, 1e-300))
    remarks = [*log.remarks, *_doubts(found, tests, white)]
    estimates = _estimates(found, deviation, body, confidence)
    remarks += _hardly_identifiable(found, estimates, correlation)
    return Identification(log, body, estimates, correlation, tuple(tests), residuals, predicted, confidence,
                          found,
                          tuple(dict.fromkeys(remarks)) if names else (),
                          _directions(found, spread))  # fmt: skip


def _directions(found: Fit, spread: Floats) -> tuple[Direction, ...]:
    names = found.problem.names
    body = [k for k, n in enumerate(names) if n not in OF_LOG and n not in ANGLES]
    part = spread[np.ix_(body, body)]
    return tuple(directions(part, found.x[body], tuple(names[k] for k in body)))


def _signals(found: Fit) -> tuple[dict[str, Floats], dict[str, Floats]]:
    log = found.problem.log
    p = found.problem.prediction(found.x, slopes=False)
    predicted = {"angle": p["angle"]}
    residuals = {"angle": p["angle"] - log.angle}
    if log.current is not None:
        predicted["current"] = p["current"]
        residuals["current"] = p["current"] - log.current
    return residuals, predicted


def _estimates(found: Fit, deviation: Floats, body: Any, confidence: float) -> tuple[Estimate, ...]:
    from scipy.stats import t as student

    problem = found.problem
    freedom = max(len(found.residuals) - len(found.x), 1)
    reach = float(student.ppf(0.5 + 0.5 * confidence, freedom))
    out = []
    for name, x, s in zip(problem.names, found.x, deviation, strict=True):
        step = problem.step(name)
        start = 0.0 if name in OF_LOG else value_of(body.mechanics, name)
        factor, unit, ratio = _ratio(name, found)
        value, spread = float(x) * step * factor, float(s) * step * factor
        if ratio and name == "friction.viscous":  # only the sum of what brakes is identifiable
            motor = problem.mechanics.motor
            value += motor.gear_ratio * motor.constant
        size = abs(value) if name not in ("springs.rest_angle", "stops.closed_angle", "start_angle") else 0.1
        low, high = value - reach * spread, value + reach * spread
        out.append(Estimate(name, unit, MEANINGS[name], value, spread, low, high,
                            start * factor, spread < _TOLD * size or name in OF_LOG, ratio))  # fmt: skip
    return tuple(out)


#: What is estimated as a voltage when neither current nor data of the motor are given.
_WITH_TORQUE = ("inertia", "springs.open_preload", "springs.open_rate", "springs.close_preload",
                "springs.close_rate", "friction.coulomb", "friction.breakaway", "friction.viscous",
                "friction.bristle_stiffness", "friction.bristle_damping")  # fmt: skip


def _ratio(name: str, found: Fit) -> tuple[float, str, bool]:
    """Factor, unit and whether it is a ratio: what a torque is in volts at a motor that stands, R/(N K)."""
    unit = UNITS[name]
    if not found.ratios_only:
        return 1.0, unit, False
    motor = found.problem.mechanics.motor
    whole = motor.resistance * (1.0 + 0.00393 * (motor.temperature - 20.0)) + found.problem.log.resistance
    if name in _WITH_TORQUE:
        volts = "V*s^2/rad" if name == "inertia" else unit.replace("N*m", "V")
        return whole / (motor.gear_ratio * motor.constant), volts, True
    if name == "motor.inductance":
        return 1.0 / whole, "s", True
    return 1.0, unit, False


def _doubts(found: Fit, tests: Sequence[ResidualTest], white: bool) -> list[str]:
    out = []
    if not found.converged:
        out.append("the fit did not converge; its values are doubtful")
    if not white:
        names = ", ".join(dict.fromkeys(t.signal for t in tests if t.p <= SUSPECT))
        out.append(f"the residuals of {names} are not white: the model is incomplete or the noise coloured; "
                   "the intervals allow for it")  # fmt: skip
    problem = found.problem
    far = [r for r in found.rivals if _cost_of(problem, r) > found.cost * 1.02 + 10.0]
    if far:
        out.append(f"{len(far)} of {len(found.rivals)} starts ended in worse minima; the best one is taken")
    low, high = problem.bounds()
    at = [n for n, x, a, b in zip(problem.names, found.x, low, high, strict=True)
          if n != "angle_delay" and (x <= a * 1.001 or x >= b * 0.999)]  # fmt: skip
    if at:
        out.append(f"at a bound of the allowed range: {', '.join(at)}")
    if found.ratios_only:
        out.append(
            "neither current nor a known motor: no absolute values are identifiable, no body file is written"
        )
    return out


def _cost_of(problem: Any, x: Floats) -> float:
    short = problem.short(x)
    return 0.5 * float(short @ short)


def _hardly_identifiable(found: Fit, estimates: Sequence[Estimate], correlation: Floats) -> list[str]:
    """Unknowns of too wide intervals, and pairs that are hardly identifiable one by one."""
    out = [
        f"{name} is not identifiable from this log and keeps its starting value; experiment: "
        f"{EXPERIMENTS[name]}"
        for name in found.unseen
    ]
    for e in estimates:
        if not e.identifiable:
            advice = EXPERIMENTS.get(e.name, "a longer log")
            out.append(f"{e.name} is not identifiable from this log; experiment: {advice}")
    names = found.problem.names
    pairs = [(abs(float(correlation[i, k])), k, i) for i in range(len(names)) for k in range(i)]
    for size, k, i in sorted(pairs, reverse=True)[:3]:
        if size > _TOGETHER and not {names[i], names[k]} & set(OF_LOG):
            how = "one up, the other down" if correlation[i, k] < 0 else "in proportion"
            out.append(f"{names[k]} and {names[i]} are identifiable together much better than each ({how}; "
                       f"correlation {correlation[i, k]:.4f})")  # fmt: skip
    return out
