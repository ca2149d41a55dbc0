# SPDX-License-Identifier: BSD-3-Clause
"""From a body and wishes to the settings of the position controller."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from .. import _core
from ..errors import InputError
from ..parts import catalogue
from . import measure
from .draws import Around, Range, Scatter
from .tuned import Candidate, Row, Steps, Tuned, front, table, worst_of
from .wishes import Wishes

#: What is searched: shares of the default gains, observer's pole [1/s], load's share of it, a time [s].
_RANGES = {
    "stiffness": (0.1, 1.4),
    "damping": (0.5, 2.5),
    "integral": (0.03, 1.0),
    "observer_pole": (100.0, 1000.0),
    "load_share": (0.05, 0.99),
    "set_point_time": (0.006, 0.02),
}

#: Of the candidates that are best on the nominal body so many are tried on so many draws before one is taken.
FINALISTS, PILOT = 10, 20


def tune(
    body: Any,
    *,
    draws: int = 200,
    tolerances: Mapping[str, float] | None = None,
    supply: float = 13.5,
    supply_range: Range | None = None,
    temperature_range: Range | None = None,
    pedal: str = "knee",
    seed: int = 1,
    generations: int = 8,
    **wishes: Any,
) -> Tuned:
    """Tries settings on the nominal body, takes the one whose worst draws are best, and tries it on ``draws``
    bodies.

    ``body``: name of a built-in body or its parameters; ``tolerances``: paths of fields and ± shares;
    ``supply`` [V] of the nominal case; ``supply_range`` [V] and ``temperature_range`` [°C] of the winding, in
    which the draws lie evenly and of which they take in the corners; ``generations`` of the search; further
    keywords are the fields of :class:`Wishes`. Raises :class:`InputError` for an unknown wish or one out of
    range, and for a body that cannot be learned. A simulation is no proof: on a real part the blade moves by
    itself; keep hands out, limit the current, follow licensed practice.

    Limit: in the simulated draws the feed-forward and the observer's model are made for the drawn body, as
    the bench does it; the gains are fixed. The margins of the draws are those of the nominal controller.
    """
    for name, value, most in (("draws", draws, 100_000), ("generations", generations, 1000)):
        if isinstance(value, bool) or not (isinstance(value, int) and 0 <= value <= most):
            raise InputError(f"{name}: must be a whole number from 0 to {most}; got {value!r}")
    wanted = Wishes.of(wishes)
    nominal = catalogue.body(body) if isinstance(body, str) else body
    scatter = Scatter.checked(nominal, tolerances, supply_range or (supply, supply), temperature_range)
    around = scatter.draws(nominal, draws, seed)
    job = _Job(wanted, Around(nominal, supply), measure.learned_of(nominal, pedal), pedal)
    candidates = job.chosen_from(job.searched(generations), around[:PILOT])
    best = min(
        (c for c in candidates if c.worst is not None), key=lambda c: _cost(wanted, c.worst or c.values)
    )
    reached = job.reached(around, [best.controller] * draws)
    rows = table(wanted, best.values, around, reached)
    return Tuned(best.controller, rows, candidates, draws, job.steps(best.controller, rows, around))


@dataclass(frozen=True)
class _Job:
    wishes: Wishes
    nominal: Around
    learned: Any
    pedal: str

    def reached(self, around: Sequence[Around], settings: Sequence[Any]) -> list[dict[str, float]]:
        """What each setting reaches at its place."""
        if not around:
            return []
        ran = measure.steps(around, settings, self.learned, self.pedal)
        places = zip(around, settings, ran, strict=True)
        return [one | measure.margins(a.body, c, a.supply, self.nominal.body) for a, c, one in places]

    def steps(self, controller: Any, rows: Sequence[Row], around: Sequence[Around]) -> Steps:
        """The step of the nominal body, and of the draws that are worst in something."""
        worst = {f"{r.wish}: {r.where}": around[r.draw] for r in rows if r.draw is not None}
        places = {"nominal": self.nominal} | worst
        time, angles = measure.traces([*places.values()], controller, self.learned, self.pedal)
        return Steps(time, dict(zip(places, angles, strict=True)))

    def searched(self, generations: int) -> list[Candidate]:
        """Every setting that SciPy's differential evolution looked at; it aims 10 % inside the wishes."""
        from scipy.optimize import differential_evolution

        gains = _core.loop_gains(_core.ControllerParameters(), self.nominal.body.mechanics)
        found: list[Candidate] = []

        def costs(logs: Any) -> Any:
            settings = [_settings(gains, x) for x in np.exp(np.atleast_2d(logs.T))]
            values = self.reached([self.nominal] * len(settings), settings)
            found.extend(Candidate(c, v) for c, v in zip(settings, values, strict=True))
            return np.array([_distance(self.wishes, v) for v in values])

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

    def chosen_from(self, candidates: Sequence[Candidate], pilot: Sequence[Around]) -> list[Candidate]:
        """The candidates, the finalists of them with the worst of some draws: those nearest to the wishes on
        the nominal body, and those that no other beats in settling and noise there."""
        near = sorted(
            candidates, key=lambda c: (_cost(self.wishes, c.values), _distance(self.wishes, c.values))
        )
        some = {id(c): c for c in [*near[:FINALISTS], *front(candidates)[:FINALISTS]]}
        around = [place for _ in some for place in pilot]
        settings = [c.controller for c in some.values() for _ in pilot]
        reached = self.reached(around, settings)
        tried = {}
        for k, (key, c) in enumerate(some.items()):
            values = [c.values, *reached[k * len(pilot) : (k + 1) * len(pilot)]]
            worst = {name: values[at][name] for name, at in worst_of(self.wishes, values).items()}
            tried[key] = replace(c, worst=worst)
        return [tried.get(id(c), c) for c in candidates]


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


def _cost(wishes: Wishes, values: Mapping[str, float]) -> tuple[int, float]:
    """Number of broken wishes, then how far they are broken."""
    over = [wishes.excess(name, values[name]) for name, _ in wishes.items()]
    return sum(o > 0.0 for o in over), sum(over)
