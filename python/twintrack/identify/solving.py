# SPDX-License-Identifier: BSD-3-Clause
"""Solves the least-squares problem: led, then free, from several places, until it is no wrong minimum.

A blade that sticks a moment too early is elsewhere for good, so a plain fit gets stuck. The prediction is
first led by the measured angle, strongly, then weakly, then not at all.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from .problem import ANGLES, OF_LOG, Leading, Problem
from .reading import Floats
from .statistics import SUSPECT, loss, residual_tests

#: Bandwidths [1/s] with which the prediction is led, one fit after the other.
SCHEDULE = (60.0, 15.0, 0.0)
_SUBSTEP = 2e-4  # [s]; halved where the prediction is not led, since the steps' own error would show
_FINAL_SUBSTEP = 5e-5

_POOR = 0.49  # cost a residual from which a fit is doubted; white residuals of rms 1 leave 0.47 (robust loss)
#: Change of a signal's noise from which a fit is made once more with the new weights.
_WEIGHED = 0.02

#: Cost a residual from which a fit is suspected of a wrong minimum; tries in a row that may be in vain then.
_WRONG, _IN_VAIN = 0.55, 6

BREAKAWAY = "friction.breakaway"
_BESIDE = (0.92, 1.08)  # times the break-away torque: where its bound is 0.3 %, several stands further

#: Delays [ms] of further beginnings: a wrong delay is made up for by inertia, friction and springs.
_DELAYS = (0.8, 0.1, 1.3, 0.4)


@dataclass(frozen=True)
class Solved:
    """``x`` of ``problem``, whose weights are those of the residuals; ``rough``: where each start ended."""

    problem: Problem
    x: Floats
    converged: bool
    rough: tuple[Floats, ...]


def solved(problem: Problem, starts: int, jobs: int, seed: int) -> Solved:
    """The best of so many starts made fine; from more places while it is surely a wrong minimum."""
    beginnings = [problem.start(), *_others(problem, starts - 1, seed)]
    with ThreadPoolExecutor(max(jobs, 1)) as pool:
        rough = list(pool.map(lambda x: _led(replace_problem(problem), x), beginnings))
    least = min(rough, key=lambda found: found[1])
    fine, x, converged = _polished(replace_problem(problem), least[0])
    tries = 0
    for beginning in _further(problem, seed + 1):
        if tries == _IN_VAIN or not suspect(fine, x):
            break
        tries += 1
        rough.append(_led(replace_problem(problem), beginning))
        if rough[-1][1] < 0.999 * least[1]:
            least, tries = rough[-1], 0
            fine, x, converged = _polished(replace_problem(problem), least[0])
    while (beside := _beside(fine, x, jobs)) is not None:
        fine, x, converged = _polished(replace_problem(fine), beside)
    return Solved(fine, x, converged, tuple(found[0] for found in rough))


def _beside(problem: Problem, x: Floats, jobs: int) -> Floats | None:
    """A better place on the other side of a break-away: there the blade leaves one of its stands earlier or
    later, which no small step shows, and residuals of a few samples do not look suspicious. None: none."""
    if BREAKAWAY not in problem.names:
        return None
    k = problem.names.index(BREAKAWAY)
    coarse = replace(problem, substep=0.5 * _SUBSTEP)

    def from_there(factor: float) -> Any:
        begun = x.copy()
        begun[k] *= factor
        return _solve(replace_problem(coarse), begun, 1e-5, 8)

    with ThreadPoolExecutor(max(jobs, 1)) as pool:
        here, *there = pool.map(from_there, (1.0, *_BESIDE))
    best = min(there, key=lambda found: float(found.cost))
    return best.x if best.cost < 0.999 * here.cost else None


def _further(problem: Problem, seed: int) -> list[Floats]:
    """Places to begin at once more: other delays, first alone and then with the body scattered."""
    out = [problem.start() for _ in _DELAYS] + _others(problem, len(_DELAYS), seed)
    if "angle_delay" in problem.names:
        for x, delay in zip(out, 2 * _DELAYS, strict=True):
            x[problem.names.index("angle_delay")] = delay * 1e-3 / OF_LOG["angle_delay"]
    return out


def suspect(problem: Problem, x: Floats) -> bool:
    """What is left is no noise: too much of it, or not white. A wrong minimum, or a model that lacks
    something."""
    residuals = problem.residuals(x)
    if loss(residuals) > _WRONG * len(residuals):
        return True
    count = int(np.isfinite(problem.log.angle).sum())
    signals = {"angle": residuals[:count], "current": residuals[count:]}
    return any(t.p < SUSPECT for name, r in signals.items() for t in residual_tests(name, r))


def replace_problem(problem: Problem) -> Problem:
    """The same problem with a memory of its own, for another thread."""
    return replace(problem)


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
        # Led, the angle says little by itself: what is left of it is the noise of the leading.
        found = _solve(problem, x, 1e-3 if bandwidth else 1e-5, 25 if bandwidth else 60)
        x, cost = found.x, found.cost
    return x, float(cost)


def _polished(problem: Problem, x: Floats) -> tuple[Problem, Floats, bool]:
    """With fine steps, and each signal weighed by the noise it turned out to have."""
    problem.leading = Leading()
    problem.substep = min(_FINAL_SUBSTEP, problem.log.period)
    _weigh(problem, x)
    found = _solve(problem, x, 1e-7, 15)
    if found.cost > _POOR * len(problem.log.voltage) * (1 + (problem.log.current is not None)):
        found = min(found, _again(problem, found.x), key=lambda f: float(f.cost))
    before = problem.angle_sigma, problem.current_sigma
    _weigh(problem, found.x)  # where the fit began, the noise was overrated
    if not np.allclose(before, (problem.angle_sigma, problem.current_sigma), rtol=_WEIGHED):
        found = _solve(problem, found.x, 1e-7, 8)
    return problem, found.x, bool(found.status > 0)


def _again(problem: Problem, x: Floats) -> Any:
    """A fit that explains less than the noise should leave is led once more, with the fine steps."""
    for bandwidth in (15.0, 4.0, 1.0, 0.0):
        problem.leading = Leading(bandwidth)
        found = _solve(problem, x, 1e-4 if bandwidth else 1e-7, 12)
        x = found.x
    return found


def _weigh(problem: Problem, x: Floats) -> None:
    r = problem.residuals(x)
    count = int(np.isfinite(problem.log.angle).sum())
    problem.angle_sigma *= _spread(r[:count])
    if len(r) > count:
        problem.current_sigma *= _spread(r[count:])


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
