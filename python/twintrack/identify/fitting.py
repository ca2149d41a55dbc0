# SPDX-License-Identifier: BSD-3-Clause
"""From a log and a starting body to the parameters of the body: stages, then all together.

All together is a least-squares fit (SciPy) of the simulated signals to the logged ones, with sensitivities
integrated with the state, bounds and a robust loss (``solving``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..errors import InputError
from .log import Log
from .problem import ANGLES, OF_LOG, Problem, check_names, value_of
from .reading import Floats
from .solving import solved
from .stages import Stage, first_values
from .statistics import loss

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
    starts: int = 1,
    jobs: int = 2,
    seed: int = 1,
) -> Fit:
    """``body``: ``ThrottleBodyParameters`` to start from; ``known``: values measured otherwise, kept as they
    are, such as ``{"motor.resistance": 1.8}``. ``starts`` fits begin at different places and the best is
    taken; more begin by themselves while the residuals are no noise.

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
    found = solved(problem, starts, jobs, seed)
    problem, x = found.problem, found.x
    residuals, jacobian = problem.residuals(x), problem.jacobian(x)
    return Fit(
        problem,
        x,
        residuals,
        jacobian,
        loss(residuals),
        found.converged,
        found.rough,
        stages,
        ratios_only,
        unseen,
    )


def _posed(log: Log, mechanics: Any, asked: Sequence[str], first: Mapping[str, float]) -> Problem:
    """All unknowns that go into the fit, beginning at the stages' values."""
    names = [n for n in asked if _identifiable(n, log, mechanics)]
    names += [n for n in ANGLES if n in first and n not in names]
    names += [n for n in ("start_angle", "angle_delay") if n not in names]
    begun = _moved(mechanics, first)
    scale = {n: max(abs(value_of(begun, n)), 1e-9) for n in names if n not in OF_LOG}
    return Problem(log, begun, tuple(names), scale, max(log.angle_noise, 1e-6), max(log.current_noise, 1e-6))


def _without_the_unseen(problem: Problem) -> tuple[Problem, tuple[str, ...]]:
    """Without the unknowns that are not identifiable, worst first, and their names.

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


def _identifiable(name: str, log: Log, mechanics: Any) -> bool:
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


def check_absolute(found: Fit) -> None:
    """Raises :class:`InputError` when only ratios are identifiable."""
    if found.ratios_only:
        raise InputError(
            f"{found.problem.log.source}: without current only ratios are identifiable: resistance and "
            "inductance times any factor, with all torques and the inertia divided by it, give the same "
            "angles. Log the motor's current, or measure the motor by itself and say "
            "--known 'motor.resistance=1.8 ohm' --known 'motor.constant=0.02 V*s/rad'"
        )
