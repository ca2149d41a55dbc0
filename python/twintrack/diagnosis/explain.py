# SPDX-License-Identifier: BSD-3-Clause
"""``tt.explain(bench, observed)``: from a symptom to its cause."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

from .answer import NONE, Answer, prior_of
from .dictionary import Dictionary, dictionary_of, plan_of, study_of
from .groups import groups
from .likelihood import Likelihood
from .next_reading import Cells, Suggestion, state_of, suggestions
from .observed import Observed, observed_from
from .readings import Meter, Reading

#: How many of the likeliest single causes are tried two at a time.
PAIRED = 6


class Diagnosis:
    """A dictionary with what is needed to answer from it; answers are quick once it is made."""

    def __init__(
        self, known: Dictionary, *, meter: Meter | None = None, priors: Mapping[str, float] | None = None
    ) -> None:
        self.known, self.meter = known, meter or Meter()
        self.prior = prior_of(known, priors)
        self.model = Likelihood(known, self.meter)

    @staticmethod
    def of(
        bench: Any,
        *,
        cache: str | Path | None = None,
        progress: bool = False,
        pairs: Sequence[str] = (),
        **more: Any,
    ) -> Diagnosis:
        """For a bench (or its parameters); the dictionary is made where ``cache`` does not hold it yet."""
        parameters = getattr(bench, "parameters", bench)
        plan = plan_of(study_of(parameters), pairs)
        return Diagnosis(dictionary_of(plan, cache=cache, progress=progress), **more)

    @cached_property
    def members(self) -> list[list[int]]:
        """Groups of causes that no reading distinguishes."""
        return groups(self.known, self.known.readings, self.meter)

    @cached_property
    def cells(self) -> Cells:
        return Cells(self.model)

    def explain(self, observed: Mapping[str, Any] | Observed) -> Answer:
        """The causes by probability. Raises :class:`InputError` for what nobody can have observed."""
        return self.answer(self.checked(observed))

    def answer(self, observed: Observed) -> Answer:
        """The same of what is checked already; of nothing, the priors."""
        return Answer(self.model, self.members, self.prior, observed)

    def checked(self, observed: Mapping[str, Any] | Observed) -> Observed:
        """By reading. Raises :class:`InputError`."""
        if observed and all(isinstance(key, Reading) for key in observed):
            return {key: value for key, value in observed.items() if isinstance(key, Reading)}
        return observed_from({str(key): value for key, value in observed.items()}, self.known)

    def next(self, answer: Answer, *, without: Sequence[str] = ()) -> list[Suggestion]:
        """Next readings, best first; empty when no reading distinguishes the rest. ``without``: states
        to leave out ("off", "still", "live", "learn", "running")."""
        last = state_of(list(answer.observed)[-1]) if answer.observed else ""
        return suggestions(answer, self.cells, self.members, without=without, last=last)


def explain(
    bench: Any,
    observed: Mapping[str, Any],
    *,
    priors: Mapping[str, float] | None = None,
    meter: Meter | None = None,
    pairs: bool = False,
    cache: str | Path | None = None,
    progress: bool = False,
) -> Answer:
    """Which causes explain what was observed on a bench: groups by probability, "healthy" and "none of
    these" among them.

    ``observed`` is what ``[observed]`` of a file holds: ``codes``, ``key_on``, ``follows``, ``learn``,
    ``idle``, ``volts``, ``ohms``. ``priors``: weights by cause, kind or family (default: even). ``pairs``:
    where no single cause explains it, the likeliest ones two at a time. The dictionary is kept in ``cache``
    (default: the user's cache folder) and made at the first call, in some ten seconds. Raises
    :class:`InputError`.

    On a real part: engine off, wheels chocked, motor leads off before a hand comes near the blade; makers'
    data, local law and licensed practice come first. A simulation is no proof.
    """
    made = Diagnosis.of(bench, cache=cache, progress=progress, meter=meter, priors=priors)
    answer = made.explain(observed)
    more = (
        paired(bench, answer, cache=cache, progress=progress, meter=meter, priors=priors) if pairs else None
    )
    return answer if more is None else more.explain(answer.observed)


def paired(bench: Any, answer: Answer, **more: Any) -> Diagnosis | None:
    """The dictionary with the likeliest single causes also two at a time; ``None`` where a single one
    explains it."""
    if answer.best.causes != (NONE,):
        return None
    likely = [
        g for g in answer.groups if g.causes != (NONE,) and g.family not in ("healthy", "learn", "part")
    ]
    return Diagnosis.of(bench, pairs=[g.causes[0] for g in likely[:PAIRED]], **more)
