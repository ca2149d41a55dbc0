# SPDX-License-Identifier: BSD-3-Clause
"""Hardware architectural metrics from detections and rates, in the words of ISO 26262-5:2018, annex C.

    λ_m             rate of an element × (1 − safe) × share of the kind m
    hazardous       λ_m × share of its cases that are a hazard without a monitor, or with this one
    residual        hazardous × (1 − K), K = share of the hazardous cases that are detected in time
    latent          (λ_m − hazardous) × share of the other cases that set no code
    SPFM            1 − Σ residual / Σ λ                      single-point fault metric
    LFM             1 − Σ latent / (Σ λ − Σ residual)         latent fault metric

Σ λ counts the safe failures too. Where no case of an element is detected, its residual faults are
single-point faults. Cases of a kind (amounts, instants) count alike. The interval of K is Wilson's for 95 %,
as if the cases were a random sample, which they are not: it says how few they are. Both bounds of a metric
take every K, and every share of codes, at that end at once. (Definitions from public texts and from memory;
the standard was not read.)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from ..errors import InputError, listing
from ..interval import wilson
from .rates import Element

if TYPE_CHECKING:
    import pandas as pd

#: Stands beside every number.
CLAIM = (
    "The words are those of ISO 26262. The numbers hold for this model, the faults that were listed and the "
    "rates that were stated; they are no claim of conformity with ISO 26262 or any other standard, and no "
    "proof of safety."
)

#: An estimate with a lower and an upper bound.
Bounds = tuple[float, float, float]


@dataclass(frozen=True)
class Mode:
    """One kind of fault of an element; rates in 1/h."""

    what: str
    rate: float
    cases: int
    hazardous: int
    in_time: int
    others: int  #: cases that are not hazardous
    detected: int  #: of those, the ones that set a code

    @property
    def hazardous_rate(self) -> float:
        return self.rate * self.hazardous / self.cases

    def residual(self) -> Bounds:
        """Rate [1/h] of what is hazardous and not detected in time."""
        return _rest(self.hazardous_rate, self.in_time, self.hazardous)

    def latent(self) -> Bounds:
        """Rate [1/h] of what is not hazardous alone and not detected."""
        return _rest(self.rate - self.hazardous_rate, self.detected, self.others)


def _rest(rate: float, caught: int, total: int) -> Bounds:
    if not total:
        return 0.0, 0.0, 0.0
    low, high = wilson(caught, total)
    return rate * (1.0 - caught / total), rate * (1.0 - high), rate * (1.0 - low)


@dataclass(frozen=True)
class ElementNumbers:
    """What an element adds."""

    element: Element
    modes: tuple[Mode, ...]
    times: tuple[float, float, float]  #: longest detection, reaction and their sum [s] of what is hazardous

    def total(self, what: str) -> int:
        return sum(getattr(mode, what) for mode in self.modes)

    @property
    def coverage(self) -> Bounds:
        """Diagnostic coverage of hazardous faults: share of their rate that is detected in time."""
        whole = sum(mode.hazardous_rate for mode in self.modes)
        if not whole:
            return math.nan, math.nan, math.nan
        rest = [mode.residual() for mode in self.modes]
        middle, least, most = (sum(r[k] for r in rest) / whole for k in range(3))
        return 1.0 - middle, 1.0 - most, 1.0 - least

    @property
    def residual(self) -> Bounds:
        return _summed([mode.residual() for mode in self.modes])

    @property
    def latent(self) -> Bounds:
        return _summed([mode.latent() for mode in self.modes])

    @property
    def single_point(self) -> bool:
        """Whether what is hazardous has no safety mechanism at all."""
        return self.total("hazardous") > 0 and self.total("in_time") == 0


def _summed(bounds: Sequence[Bounds]) -> Bounds:
    return tuple(math.fsum(b[k] for b in bounds) for k in range(3))  # type: ignore[return-value]


@dataclass(frozen=True)
class Metrics:
    """All elements, and what their sums give."""

    elements: tuple[ElementNumbers, ...]
    setup: str
    limit: float  #: fault-tolerant time [s]
    uncounted: tuple[str, ...] = field(default=())  #: faults of the audit that no element has

    @property
    def rate(self) -> float:
        return math.fsum(one.element.rate for one in self.elements)

    @property
    def residual(self) -> Bounds:
        return _summed([one.residual for one in self.elements])

    @property
    def latent(self) -> Bounds:
        return _summed([one.latent for one in self.elements])

    @property
    def spfm(self) -> Bounds:
        """Single-point fault metric: estimate, lower, upper bound."""
        middle, least, most = self.residual
        return 1.0 - middle / self.rate, 1.0 - most / self.rate, 1.0 - least / self.rate

    @property
    def lfm(self) -> Bounds:
        """Latent fault metric; NaN where nothing is left that could be latent."""
        middle, least, most = self.latent
        rest = [self.rate - r for r in self.residual]
        if min(rest) <= 0:
            return math.nan, math.nan, math.nan
        return 1.0 - middle / rest[0], max(0.0, 1.0 - most / min(rest)), 1.0 - least / max(rest)

    @property
    def longest(self) -> float:
        """Longest fault handling time [s] of what is hazardous and detected; NaN for none."""
        return max((one.times[2] for one in self.elements if not math.isnan(one.times[2])), default=math.nan)


def metrics(
    cases: pd.DataFrame,
    places: dict[str, tuple[str, str]],
    elements: Sequence[Element],
    setup: str,
    limit: float,
) -> Metrics:
    """The metrics of one set-up.

    ``cases``: the faulty cases of an audit under this set-up, with the columns ``fault``, ``grade``,
    ``hazardous``, ``detected_by``, ``fdti_s``, ``frti_s``, ``fhti_s``; ``places``: where and what each fault
    is. Raises :class:`InputError` when an element has no case.
    """
    where = cases["fault"].map(lambda name: places[name][0])
    what = cases["fault"].map(lambda name: places[name][1])
    found, counted = [], set()
    for element in elements:
        mine = cases[where.isin(element.places)].assign(what=what)
        for place in element.places:
            if not (where == place).any():
                known = listing(sorted(set(where)))
                raise InputError(
                    f"{element.name!r}: the audit has no fault at {place!r} (there are: {known})"
                )
        counted |= set(mine["fault"])
        found.append(ElementNumbers(element, _modes(element, mine), _times(mine)))
    if not math.fsum(element.rate for element in elements) > 0:
        raise InputError("all rates are 0; there is nothing to divide by")
    left = tuple(dict.fromkeys(name for name in cases["fault"] if name not in counted))
    return Metrics(tuple(found), setup, limit, left)


def _modes(element: Element, cases: pd.DataFrame) -> tuple[Mode, ...]:
    there = list(dict.fromkeys(cases["what"]))
    shares = dict(element.modes) or dict.fromkeys(there, 1.0 / len(there))
    for name in shares:
        if name not in there:
            raise InputError(
                f"{element.name!r}: the audit has no fault {name!r} there (there are: {listing(there)})"
            )
    return tuple(
        _mode(name, element.rate * (1.0 - element.safe) * share, cases[cases["what"] == name])
        for name, share in shares.items()
    )


def _mode(what: str, rate: float, cases: Any) -> Mode:
    bad, good = cases[cases["hazardous"]], cases[~cases["hazardous"]]
    return Mode(
        what,
        rate,
        len(cases),
        len(bad),
        int((bad["grade"] == "in time").sum()),
        len(good),
        int((good["detected_by"] != "").sum()),
    )


def _times(cases: Any) -> tuple[float, float, float]:
    bad = cases[cases["hazardous"]]
    return tuple(float(bad[name].max()) for name in ("fdti_s", "frti_s", "fhti_s"))  # type: ignore[return-value]
