# SPDX-License-Identifier: BSD-3-Clause
"""From a body and wishes to the settings of the position controller."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import _core
from ..errors import InputError
from ..linear.band import value_at
from ..parts import catalogue
from ..tolerances.sampling import points
from . import measure
from .wishes import Wishes

#: Fields that scatter unless told otherwise, evenly within ± a share (common practice, no source).
TOLERANCES = {
    "mechanics.motor.resistance": 0.1,
    "mechanics.motor.constant": 0.05,
    "mechanics.inertia": 0.1,
    "mechanics.friction.coulomb": 0.2,
}
_UNITS = {
    "proportional": "V/rad",
    "integral": "V/rad/s",
    "derivative": "V*s/rad",
    "observer_pole": "1/s",
    "load_pole": "1/s",
    "set_point_time": "s",
}
_COULOMB, _BREAKAWAY = "mechanics.friction.coulomb", "mechanics.friction.breakaway"
#: What is searched: shares of the default gains, observer's pole [1/s], load's share of it, a time [s].
_RANGES = {
    "stiffness": (0.1, 1.4),
    "damping": (0.5, 2.5),
    "integral": (0.03, 1.0),
    "observer_pole": (100.0, 1000.0),
    "load_share": (0.05, 0.99),
    "set_point_time": (0.006, 0.02),
}


@dataclass(frozen=True)
class Row:
    """A wish: limit, what the nominal body reaches, worst of the draws and its number, whether met."""

    wish: str
    limit: float
    nominal: float
    worst: float
    draw: int | None
    met: bool


@dataclass(frozen=True)
class Candidate:
    """Settings that were tried on the nominal body, and what they reached."""

    controller: Any
    values: dict[str, float]


@dataclass(frozen=True)
class Tuned:
    """``controller`` is the candidate that breaks the wishes least; ``table`` says which it breaks.

    ``candidates`` are all that were tried, ``front`` those that no other beats in both settling and noise.
    """

    controller: Any
    table: list[Row]
    candidates: list[Candidate]
    draws: int

    @property
    def met(self) -> bool:
        return all(row.met for row in self.table)

    @property
    def front(self) -> list[Candidate]:
        def pair(c: Candidate) -> tuple[float, float]:
            return c.values["settling"], c.values["duty_noise"]

        sound = [c for c in self.candidates if not any(map(math.isnan, pair(c)))]
        kept = [c for c in sound if not any(_beats(pair(o), pair(c)) for o in sound)]
        return sorted(kept, key=pair)

    @property
    def toml(self) -> str:
        """The table ``[bench.controller]`` of a study file."""
        rows = [f'{name} = "{getattr(self.controller, name)!r} {unit}"' for name, unit in _UNITS.items()]
        return "\n".join(["[bench.controller]", *rows, ""])

    def __str__(self) -> str:
        rows = [f"{'wish':<14}{'limit':>9}{'nominal':>10}{'worst':>10}{'draw':>7}  met"]
        for r in self.table:
            at = "-" if r.draw is None else str(r.draw)
            said = "yes" if r.met else "NOT MET"
            rows.append(f"{r.wish:<14}{r.limit:>9.4g}{r.nominal:>10.4g}{r.worst:>10.4g}{at:>7}  {said}")
        return "\n".join(rows)


def _beats(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one != other and one[0] <= other[0] and one[1] <= other[1]


def tune(
    body: Any,
    *,
    draws: int = 200,
    tolerances: Mapping[str, float] | None = None,
    supply: float = 13.5,
    pedal: str = "knee",
    seed: int = 1,
    generations: int = 8,
    **wishes: Any,
) -> Tuned:
    """Tries settings on the nominal body, and the best of them on ``draws`` bodies within ``tolerances``.

    ``body``: name of a built-in body or its parameters; ``tolerances``: paths of fields and ± shares;
    ``supply`` [V]; ``generations`` of the search; further
    keywords are the fields of :class:`Wishes`. Raises :class:`InputError` for an
    unknown wish or one out of range, and for a body that cannot be learned. A simulation is no proof: on a
    real part the blade moves by itself; keep hands out, limit the current, follow licensed practice.

    Limit: in the simulated draws the feed-forward and the observer's model are made for the drawn body, as
    the bench does it; the gains are fixed. The margins of the draws are those of the nominal controller.
    """
    if not (isinstance(draws, int) and 0 <= draws <= 100_000):
        raise InputError(f"draws: must be a whole number from 0 to 100000; got {draws!r}")
    if not (isinstance(generations, int) and 0 <= generations <= 1000):
        raise InputError(f"generations: must be a whole number from 0 to 1000; got {generations!r}")
    wanted = Wishes.of(wishes)
    nominal = catalogue.body(body) if isinstance(body, str) else body
    spread = TOLERANCES if tolerances is None else tolerances
    for path, width in spread.items():
        value_at(nominal, path)
        if not (isinstance(width, (int, float)) and 0.0 <= width < 1.0):
            raise InputError(f"tolerances: {path} must be a share from 0 to below 1; got {width!r}")
    learned = measure.learned_of(nominal, pedal)
    candidates = _tried(wanted, nominal, supply, learned, pedal, generations)
    best = min(candidates, key=lambda c: _cost(wanted, c.values))
    bodies = _drawn(nominal, spread, draws, seed)
    values = _all(bodies, [best.controller] * draws, supply, learned, pedal, nominal)
    return Tuned(best.controller, _table(wanted, best.values, values), candidates, draws)


def _drawn(body: Any, spread: Mapping[str, float], draws: int, seed: int) -> list[Any]:
    """Sobol draws; the break-away torque scatters with the Coulomb friction, below which it cannot be."""
    bodies = []
    for row in points("sobol", seed, len(spread), 0, draws):
        factors = {path: 1.0 + w * (2.0 * x - 1.0) for (path, w), x in zip(spread.items(), row, strict=True)}
        if _COULOMB in factors:
            factors.setdefault(_BREAKAWAY, factors[_COULOMB])
        bodies.append(body.replace({path: f * value_at(body, path) for path, f in factors.items()}))
    return bodies


def _tried(
    wishes: Wishes, body: Any, supply: float, learned: Any, pedal: str, generations: int
) -> list[Candidate]:
    """Every setting that SciPy's differential evolution looked at; it aims 10 % inside the wishes."""
    from scipy.optimize import differential_evolution

    gains = _core.loop_gains(_core.ControllerParameters(), body.mechanics)
    found: list[Candidate] = []

    def costs(logs: Any) -> Any:
        settings = [_settings(gains, x) for x in np.exp(np.atleast_2d(logs.T))]
        values = _all([body] * len(settings), settings, supply, learned, pedal, body)
        found.extend(Candidate(c, v) for c, v in zip(settings, values, strict=True))
        return np.array([_distance(wishes, v) for v in values])

    differential_evolution(
        costs,
        np.log(list(_RANGES.values())),
        popsize=10,
        maxiter=generations,
        init="sobol",
        rng=np.random.default_rng(1),
        vectorized=True,
        updating="deferred",
        polish=False,
        tol=0.0,
    )
    return found


def _settings(gains: Mapping[str, float], x: Any) -> Any:
    stiffness, damping, integral, observer, load, set_point = map(float, x)
    return _core.ControllerParameters(
        proportional=stiffness * gains["proportional"],
        derivative=damping * math.sqrt(stiffness) * gains["derivative"],
        integral=integral * stiffness * gains["integral"],
        observer_pole=observer,
        load_pole=load * observer,
        set_point_time=set_point,
    )


def _distance(wishes: Wishes, values: Mapping[str, float]) -> float:
    """Smooth enough to search by: how far each wish is missed, and settling and noise a little."""
    near = 0.0
    for name, limit in wishes.items():
        aim = -0.1 if name.endswith("margin") else 0.1
        near += min(wishes.excess(name, values[name] + aim * limit), 10.0)
    small = sum(min(values[n] / getattr(wishes, n), 10.0) for n in ("settling", "duty_noise"))
    return near + 0.01 * (small if math.isfinite(small) else 20.0)


def _all(
    bodies: Sequence[Any], settings: Sequence[Any], supply: float, learned: Any, pedal: str, nominal: Any
) -> list[dict[str, float]]:
    if not bodies:
        return []
    ran = measure.steps(bodies, settings, [supply] * len(bodies), learned, pedal)
    pairs = zip(bodies, settings, ran, strict=True)
    return [one | measure.margins(b, c, supply, nominal) for b, c, one in pairs]


def _cost(wishes: Wishes, values: Mapping[str, float]) -> tuple[int, float]:
    """Number of broken wishes, then how far they are broken."""
    over = [wishes.excess(name, values[name]) for name, _ in wishes.items()]
    return sum(o > 0.0 for o in over), sum(over)


def _table(wishes: Wishes, nominal: dict[str, float], draws: list[dict[str, float]]) -> list[Row]:
    rows = []
    for name, limit in wishes.items():
        sign = -1.0 if name.endswith("margin") else 1.0
        worst, draw = nominal[name], None
        for k, values in enumerate(draws):
            if math.isnan(values[name]) or (not math.isnan(worst) and sign * (values[name] - worst) > 0.0):
                worst, draw = values[name], k
        met = wishes.excess(name, nominal[name]) == 0.0 and wishes.excess(name, worst) == 0.0
        rows.append(Row(name, limit, nominal[name], worst, draw, met))
    return rows
