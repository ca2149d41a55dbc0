# SPDX-License-Identifier: BSD-3-Clause
"""From a log and a starting body to the parameters of the body: stages, then all together.

All together is a least-squares fit (SciPy) of the simulated signals to the logged ones, with sensitivities
integrated with the state, bounds and a robust loss. Plain, it gets stuck in wrong minima: a blade that
sticks a moment too early is elsewhere for good. So the prediction is first led by the measured angle,
strongly, then weakly, then not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..errors import InputError
from .log import Log
from .problem import ANGLES, OF_LOG, Leading, Problem, check_names, value_of
from .reading import Floats
from .stages import Stage, first_values
from .statistics import ROBUST

#: What is identified unless asked otherwise.
UNKNOWNS = (
    "motor.resistance",
    "motor.inductance",
    "motor.constant",
    "inertia",
    "springs.open_preload",
    "springs.open_rate",
    "springs.close_preload",
    "friction.coulomb",
    "friction.breakaway",
    "friction.viscous",
)

_MOTOR = ("motor.resistance", "motor.constant")

#: Further torques, which a fit of ratios must not take for known.
_TORQUES_BESIDE = ("springs.close_rate", "friction.bristle_stiffness", "friction.bristle_damping")

#: Bandwidths [1/s] with which the prediction is led, one fit after the other.
SCHEDULE = (60.0, 15.0, 0.0)
_SUBSTEP = 2e-4  # [s]; halved where the prediction is not led, since the steps' own error would show
_FINAL_SUBSTEP = 5e-5

_POOR = 0.49  # cost a residual from which a fit is doubted; white residuals of rms 1 leave 0.47 (robust loss)
_HOPELESS = 0.5  # standard deviation, as a share of the value, from which an unknown is left alone


@dataclass(frozen=True)
class Fit:
    """A finished fit: scaled unknowns ``x`` of ``problem``, residuals and Jacobian there, where it began."""

    problem: Problem
    x: Floats
    residuals: Floats
    jacobian: Floats
    cost: float
    converged: bool
    rivals: tuple[Floats, ...]
    stages: tuple[Stage, ...]
    ratios_only: bool
    unseen: tuple[str, ...] = ()
    """Unknowns that the log does not depend on; they stay where they began."""


def fit(
    log: Log,
    body: Any,
    *,
    unknowns: Sequence[str] = UNKNOWNS,
    known: Mapping[str, float] | None = None,
    starts: int = 3,
    jobs: int = 2,
    seed: int = 1,
) -> Fit:
    """``body``: ``ThrottleBodyParameters`` to start from; ``known``: values measured otherwise, kept as they
    are, such as ``{"motor.resistance": 1.8}``. ``starts`` fits begin at different places and the best is
    taken.

    Without current in the log, and without a known resistance and constant of the motor, only ratios can be
    told: the two are kept and the result says so. Raises :class:`InputError` for unknowns that there are not.
    """
    known = dict(known or {})
    check_names([*known])
    ratios_only = log.current is None and not set(_MOTOR) <= set(known)
    mechanics = body.mechanics.replace(known)
    stages = tuple(first_values(log, mechanics))
    if ratios_only:  # nothing may be left that is a torque by itself
        unknowns = (*unknowns, *_TORQUES_BESIDE)
        known |= {name: value_of(mechanics, name) for name in _MOTOR}
    asked = [n for n in check_names([*unknowns]) if n not in known]
    # What was not asked for stays the starting body's, whatever a stage made of it.
    first = {n: v for stage in stages for n, v in stage.values.items() if n in asked or n in ANGLES}
    problem, unseen = _without_the_unseen(_posed(log, mechanics, asked, first))
    back = {n: value_of(mechanics, n) for n in ANGLES if n not in problem.names}
    problem = replace(problem, mechanics=problem.mechanics.replace(back))  # a stop not touched is as it was
    beginnings = [problem.start(), *_others(problem, starts - 1, seed)]
    with ThreadPoolExecutor(max(jobs, 1)) as pool:
        rough = list(pool.map(lambda x: _led(replace_problem(problem), x), beginnings))
    best = min(rough, key=lambda found: found[1])
    x, converged = _polished(problem, best[0])
    residuals, jacobian = problem.residuals(x), problem.jacobian(x)
    rivals = tuple(found[0] for found in rough)
    return Fit(
        problem,
        x,
        residuals,
        jacobian,
        float(_loss(residuals)),
        converged,
        rivals,
        stages,
        ratios_only,
        unseen,
    )


def _posed(log: Log, mechanics: Any, asked: Sequence[str], first: Mapping[str, float]) -> Problem:
    """All unknowns that go into the fit, beginning at the stages' values."""
    names = [n for n in asked if _can_be_told(n, log, mechanics)]
    names += [n for n in ANGLES if n in first and n not in names]
    names += [n for n in ("start_angle", "angle_delay") if n not in names]
    begun = _moved(mechanics, first)
    scale = {n: max(abs(value_of(begun, n)), 1e-9) for n in names if n not in OF_LOG}
    return Problem(log, begun, tuple(names), scale, max(log.angle_noise, 1e-6), max(log.current_noise, 1e-6))


def _without_the_unseen(problem: Problem) -> tuple[Problem, tuple[str, ...]]:
    """Without the unknowns that the log cannot tell, worst first, and their names.

    Judged by the Fisher information where the fit begins: a standard deviation of half the value. Kept, they
    would wander off, drag others along and make all steps short.
    """
    slopes = problem.jacobian(problem.start())
    square = slopes.T @ slopes
    names, dropped = list(problem.names), []
    kept = [k for k in range(len(names)) if square[k, k] > 1e-12]
    while kept:
        part = square[np.ix_(kept, kept)]
        scale = np.sqrt(np.diag(part))
        inverse = np.linalg.pinv(part / np.outer(scale, scale), rcond=1e-13, hermitian=True)
        deviation = np.sqrt(np.maximum(np.diag(inverse), 0.0)) / scale
        rated = [0.0 if names[k] in OF_LOG or names[k] in ANGLES else d
                 for k, d in zip(kept, deviation, strict=True)]  # fmt: skip
        worst = int(np.argmax(rated))
        if rated[worst] < _HOPELESS:
            break
        dropped.append(names[kept.pop(worst)])
    dropped += [
        n for k, n in enumerate(names) if square[k, k] <= 1e-12 and n not in ANGLES and n not in OF_LOG
    ]
    return replace(problem, names=tuple(names[k] for k in kept)), tuple(dropped)


def replace_problem(problem: Problem) -> Problem:
    """The same problem with a memory of its own, for another thread."""
    return replace(problem, _at=b"", _seen=None)


def _can_be_told(name: str, log: Log, mechanics: Any) -> bool:
    """A body whose only spring has its rest below the stop has no opener spring, and no preload beside its
    rest angle."""
    if log.current is None and name in ("motor.resistance", "current_delay", "current_offset"):
        return False
    if name.startswith("springs.close") and mechanics.springs.rest_angle <= mechanics.stops.closed_angle:
        return False
    return not (name not in OF_LOG and name not in ANGLES and value_of(mechanics, name) == 0.0)


def _moved(mechanics: Any, values: Mapping[str, float]) -> Any:
    """The mechanics with first values that are believed: within a factor of five of the starting body's."""
    changes = {}
    for name, value in values.items():
        before = value_of(mechanics, name)
        if name in ANGLES or (before > 0.0 and 0.2 < value / before < 5.0):
            changes[name] = value
    coulomb = changes.get("friction.coulomb", mechanics.friction.coulomb)
    if changes.get("friction.breakaway", mechanics.friction.breakaway) < coulomb:
        changes["friction.breakaway"] = coulomb
    return mechanics.replace(changes)


def _others(problem: Problem, count: int, seed: int) -> list[Floats]:
    """Other places to begin at: the body's unknowns scattered by a fifth about the stages' values."""
    draw = np.random.default_rng(seed)
    middle, out = problem.start(), []
    body = np.array([n not in OF_LOG and n not in ANGLES for n in problem.names])
    for _ in range(max(count, 0)):
        out.append(np.where(body, middle * (1.0 + draw.uniform(-0.2, 0.2, len(middle))), middle))
    return out


def _led(problem: Problem, x: Floats) -> tuple[Floats, float]:
    """Through the schedule, roughly; scaled unknowns and cost at its end."""
    cost = np.inf
    for bandwidth in SCHEDULE:
        problem.leading = Leading(bandwidth)
        problem.substep = _SUBSTEP if bandwidth else 0.5 * _SUBSTEP
        problem._seen = None
        # Led, the angle says little by itself: what is left of it is the noise of the leading.
        found = _solve(problem, x, 1e-3 if bandwidth else 1e-5, 25 if bandwidth else 60)
        x, cost = found.x, found.cost
    return x, float(cost)


def _polished(problem: Problem, x: Floats) -> tuple[Floats, bool]:
    """With fine steps, and each signal weighed by the noise it turned out to have."""
    problem.leading = Leading()
    problem.substep = min(_FINAL_SUBSTEP, problem.log.period)
    problem._seen = None
    _weigh(problem, x)
    found = _solve(problem, x, 1e-7, 15)
    if found.cost > _POOR * len(problem.log.voltage) * (1 + (problem.log.current is not None)):
        found = min(found, _again(problem, found.x), key=lambda f: float(f.cost))
    return found.x, bool(found.status > 0)


def _again(problem: Problem, x: Floats) -> Any:
    """A fit that explains less than the noise should leave is led once more, with the fine steps."""
    for bandwidth in (15.0, 4.0, 1.0, 0.0):
        problem.leading = Leading(bandwidth)
        problem._seen = None
        found = _solve(problem, x, 1e-4 if bandwidth else 1e-7, 12)
        x = found.x
    return found


def _weigh(problem: Problem, x: Floats) -> None:
    r = problem.residuals(x)
    count = int(np.isfinite(problem.log.angle).sum())
    problem.angle_sigma *= _spread(r[:count])
    if len(r) > count:
        problem.current_sigma *= _spread(r[count:])
    problem._seen = None


def _spread(r: Floats) -> float:
    """Robust rms: a few samples at the stops must not set the scale of all."""
    return max(1.4826 * float(np.median(np.abs(r))), 1e-6)


def _solve(problem: Problem, x: Floats, tolerance: float, evaluations: int) -> Any:
    from scipy.optimize import least_squares

    low, high = problem.bounds()
    inside = np.clip(x, low + 1e-9, high - 1e-9)
    return least_squares(
        problem.short,
        inside,
        problem.short_slopes,
        bounds=(low, high),
        method="trf",
        ftol=tolerance,
        xtol=1e-9,
        gtol=None,
        max_nfev=evaluations,
    )


def _loss(r: Floats) -> float:
    return float(np.sum(ROBUST**2 * (np.sqrt(1.0 + (r / ROBUST) ** 2) - 1.0)))


def check_absolute(found: Fit) -> None:
    """Raises :class:`InputError` when the log tells ratios only."""
    if found.ratios_only:
        raise InputError(
            f"{found.problem.log.source}: without current only ratios can be told: resistance and inductance "
            "times any factor, with all torques and the inertia divided by it, give the same angles. Log the "
            "motor's current, or measure the motor by itself and say --known 'motor.resistance=1.8 ohm' "
            "--known 'motor.constant=0.02 V*s/rad'"
        )
