# SPDX-License-Identifier: BSD-3-Clause
"""The answer: groups of causes by probability, what each would show, and which observations contradict."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from .dictionary import Dictionary
from .likelihood import Likelihood
from .observed import Observed
from .readings import Floats, Reading, shown

if TYPE_CHECKING:
    import pandas as pd

NONE = "none of these"

#: Prior share of "none of these" where the user says nothing.
NONE_PRIOR = 0.02


@dataclass(frozen=True)
class Ranked:
    """A group of causes that no reading distinguishes."""

    causes: tuple[str, ...]
    family: str
    probability: float

    @property
    def text(self) -> str:
        return " or ".join(self.causes)


def prior_of(known: Dictionary, given: Mapping[str, float] | None) -> Floats:
    """By cause, "none of these" last: even, or the user's weights by cause, kind or family (the rest: 1)."""
    from ..errors import InputError, closest

    weights = np.append(np.ones(len(known.causes)), 0.0)
    names = {NONE, *(n for c in known.causes for n in (c.label, c.kind, c.family))}
    none = NONE_PRIOR
    for name, weight in (given or {}).items():
        if name not in names:
            raise InputError(f"priors: there is no cause, kind or family {name!r}{closest(name, names)}")
        if not 0.0 <= weight < float("inf"):
            raise InputError(f"priors: {name!r} must weigh 0 or more, not {weight:g}")
        if name == NONE:
            none = weight
            continue
        for k, cause in enumerate(known.causes):
            if name in (cause.label, cause.kind, cause.family):
                weights[k] = weight
    if not 0.0 < none < 1.0:
        raise InputError(
            f"priors: {NONE!r} must lie between 0 and 1, it is the share of what no dictionary holds"
        )
    if weights.sum() <= 0.0:
        raise InputError("priors: nothing is left with a weight above 0")
    weights *= (1.0 - none) / weights.sum()
    weights[-1] = none
    return weights


class Answer:
    """Causes by probability. ``print(answer)``; ``answer.groups``; :meth:`to_pandas`."""

    def __init__(
        self, model: Likelihood, members: Sequence[Sequence[int]], prior: Floats, observed: Observed
    ) -> None:
        self.known, self.observed = model.known, dict(observed)
        with np.errstate(divide="ignore"):
            logs = np.log(prior) + model.log(observed)
        share = np.exp(logs - logs.max())
        #: Of each cause of the dictionary, "none of these" last.
        self.probabilities: Floats = share / share.sum()
        causes = self.known.causes
        found = [
            Ranked(tuple(causes[k].label for k in group), causes[group[0]].family,
                   float(self.probabilities[list(group)].sum()))
            for group in members
        ]  # fmt: skip
        found.append(Ranked((NONE,), NONE, float(self.probabilities[-1])))
        #: Most probable first; "healthy" and "none of these" always among them.
        self.groups: list[Ranked] = sorted(found, key=lambda one: -one.probability)
        #: The fewest observations that no cause explains together, where "none of these" wins; else empty.
        self.contradiction: tuple[Reading, ...] = ()
        if self.groups[0].causes == (NONE,):
            self.contradiction = contradiction(model, observed)

    @property
    def best(self) -> Ranked:
        return self.groups[0]

    def expected(self, reading: Reading, cause: str) -> str:
        """What a cause would show: its least and most over the tolerances."""
        if cause == NONE:
            return "–"
        k = self.known.labels.index(cause)
        if not reading.number:
            column = self.known.column(reading.kind)[k]
            values = [str(v) for v in column if v != "" or reading.kind == "codes"]
            return max(dict.fromkeys(values), key=values.count, default="") or "none"
        values = self.known.numbers(reading)[k]
        low, high = shown(reading, float(values.min())), shown(reading, float(values.max()))
        return low if low == high else f"{low} … {high}"

    def to_pandas(self) -> pd.DataFrame:
        """One row a group: probability, causes, family, and what it would show of what was observed."""
        import pandas as pd

        rows = [
            {"probability": one.probability, "causes": one.text, "family": one.family}
            | {reading.text: self.expected(reading, one.causes[0]) for reading in self.observed}
            for one in self.groups
        ]
        return pd.DataFrame(rows)

    def shown_groups(self, most: int = 8) -> list[Ranked]:
        """The first ones, with "healthy" and "none of these" whatever their place."""
        always = [one for one in self.groups if "healthy" in one.causes or NONE in one.causes]
        first = [one for one in self.groups[:most] if one.probability > 1e-4 or one in always]
        return first + [one for one in always if one not in first]

    @property
    def disagreement(self) -> str:
        """What is said of :attr:`contradiction`."""
        count = len(self.contradiction)
        if count < 2:
            return "No single cause explains this:" if count else ""
        if count == 2:
            return "These two disagree, no single cause explains both:"
        return f"These {count} disagree: no single cause explains them all, but one does if any is left out:"

    @property
    def disagreeing(self) -> list[str]:
        """The observations of :attr:`contradiction` with their values."""
        return [f"  {r.text}: {_value(r, self.observed[r])}" for r in self.contradiction]

    def __str__(self) -> str:
        from ..pages.text_table import text_table

        readings = list(self.observed)
        head = ["", "cause", *(f"[{k}]" for k in range(1, len(readings) + 1))]
        rows = [
            [_percent(one.probability), one.text, *(self.expected(r, one.causes[0]) for r in readings)]
            for one in self.shown_groups()
        ]
        lines = [f"[{k}] {r.text}: {_value(r, v)}" for k, (r, v) in enumerate(self.observed.items(), 1)]
        lines += ["", text_table(head, rows)]
        if self.contradiction:
            lines += ["", self.disagreement, *self.disagreeing]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        """For notebooks."""
        text: str = self.to_pandas().head(12).to_html(index=False, float_format=lambda x: f"{x:.3f}")
        return text


def _value(reading: Reading, value: float | str) -> str:
    return shown(reading, float(value)) if reading.number else str(value) or "none"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %" if share >= 5e-4 else "< 0.05 %"


def contradiction(model: Likelihood, observed: Observed) -> tuple[Reading, ...]:
    """The fewest observations that "none of these" explains better than any cause: the worst single one, the
    worst pair, else a set that is explained as soon as any one of it is left out (a minimal conflict: Reiter
    1987). Empty: there is none."""

    def margin(readings: Sequence[Reading]) -> float:
        logs = model.log({r: observed[r] for r in readings})
        return float(logs[:-1].max() - logs[-1])

    for size in (1, 2):
        margins = {some: margin(some) for some in itertools.combinations(observed, size)}
        if margins and min(margins.values()) < 0.0:
            return min(margins, key=lambda some: margins[some])
    left = tuple(observed)
    if margin(left) >= 0.0:
        return ()
    for reading in observed:
        without = tuple(r for r in left if r != reading)
        if margin(without) < 0.0:
            left = without
    return left
