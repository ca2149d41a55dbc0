# SPDX-License-Identifier: BSD-3-Clause
"""How rarely a rule is broken when the tolerances scatter: subset simulation, or brute force.

``examples/rare.toml`` teaches the table ``[rare]``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from ...errors import InputError, closest, listing
from ...files.toml_file import TomlFile
from ...pages.section import Lines, Part, Section, Table
from ...rulebooks import margin as margins
from ...search.rare import Estimate, Plateau, monte_carlo, subset_simulation
from ...search.strategies import Spent, Values
from ...studies.study import Study
from ...tolerances.distribution import EDGE
from ..pursuit import Ask, Pursuit, check_first, made, read_pursuit, values
from ..shown import traces

if TYPE_CHECKING:
    import pandas as pd

METHODS = ("subset simulation", "brute force")

_KEYS = ["rule", "runs", "healthy_before", "method", "samples", "share"]


@dataclass(frozen=True)
class Rare(Pursuit):
    """The probability that a rule, or the hazard, is broken: down to 1e-7, with its interval and its cost."""

    method: str = METHODS[0]
    samples: int = 1000
    share: float = 0.1
    dimension: int = 0  #: parameters that scatter

    name = "rare events"
    table = "rare"

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Rare:
        common = read_pursuit(file, study, "rare", 100_000_000, 20_000)
        table = file.table.get("rare", {})
        file.only(("rare",), table, _KEYS)
        if not file.table.get("tolerances"):
            file.fail(("rare",), "nothing scatters, so nothing is rare: give [tolerances]")
        method = table.get("method", METHODS[0])
        if method not in METHODS:
            hint = closest(str(method), METHODS)
            file.fail(("rare", "method"), f"must be one of {listing(METHODS)}{hint}", method)
        samples, share = table.get("samples", 1000), table.get("share", 0.1)
        if type(samples) is not int or not 50 <= samples <= 1_000_000:
            file.fail(("rare", "samples"), "must be a whole number from 50 to 1000000", samples)
        if type(share) not in (int, float) or not 0.05 <= share <= 0.5 or samples % round(1 / share):
            file.fail(
                ("rare", "share"), "must be from 0.05 to 0.5, with 1/share a divisor of 'samples'", share
            )
        own = common | {"method": method, "samples": samples, "share": 1.0 / round(1.0 / share)}
        own["healthy_before"] = bool(table.get("healthy_before", False))
        names = _names(file.table["tolerances"])
        found: Rare = made(file, "rare", lambda: cls(study, solver, **own, dimension=names))
        return found

    def options(self) -> dict[str, Any]:
        own = {"method": self.method, "samples": self.samples, "share": self.share}
        return super().options() | own | {"dimension": self.dimension}

    def pursue(self, plan: Any, ask: Ask) -> Estimate:
        def asked(shares: np.ndarray) -> np.ndarray:
            rows = ask(plan.draws_at(np.clip(shares, EDGE, 1.0 - EDGE)))
            check_first(self, rows, str(self.study.path))
            return values(rows)

        try:
            return self._estimate(asked, len(plan.tolerances))
        except Plateau as error:
            raise InputError(
                f"{self.study.path}: {error}; a rule that answers yes or no needs method = 'brute force'"
            ) from error

    def _estimate(self, asked: Values, dimension: int) -> Estimate:
        if self.method == METHODS[0]:
            return subset_simulation(asked, dimension, self.study.seed, self.samples, self.share)
        return monte_carlo(asked, dimension, self.study.seed, self.runs, self.samples)

    def estimate(self, table: pd.DataFrame, dimension: int) -> Estimate | None:
        """From the stored margins, in their order; ``None``: not finished."""
        rows = table[["excluded", "sought_margin"]].to_dict("records")
        margins = values([{str(k): v for k, v in row.items()} for row in rows])
        try:
            return self._estimate(_stored(margins), dimension)
        except Spent:
            return None

    def headline(self, table: pd.DataFrame) -> str:
        found = self.estimate(table, self.dimension)
        name = self.rule.name
        if found is None:
            return f"Not finished: {len(table):,} runs do not reach the event; more are needed (--cases)."
        if found.below:
            least = f"below {found.high:.1e}, the least that is looked for"
            return f"P({name!r} is broken) is {least}; {found.runs:,} runs."
        cost = f"{found.runs:,} runs"
        if found.brute_force > 2 * found.runs:
            cost += f"; independent runs would need {found.brute_force:,.0f} for as narrow an interval"
        return (
            f"P({name!r} is broken) = {found.probability:.2e}, with 95 % confidence {found.low:.1e} to "
            f"{found.high:.1e}: {cost}. It is as good as the spreads one wrote down."
        )

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        found = self.estimate(table, len(result.plan.tolerances))
        parts: list[Part] = [self.rule.sentence]
        if found is not None:
            parts += _levels(self, found)
        out = table.loc[table["excluded"] != "", "excluded"].value_counts()
        if len(out):
            rows = [(str(k), int(n)) for k, n in out.items()]
            parts.append(Table(["runs that count as not broken", "runs"], rows))
        counted = table[table["excluded"] == ""]
        sections = [Section("Probability", parts)]
        if len(counted):
            worst = int(str(counted["sought_margin"].idxmin()))
            sections.append(Section("Traces", traces(result, {worst: "least margin"})))
        return sections


def _stored(margins: np.ndarray) -> Values:
    at = 0

    def asked(shares: np.ndarray) -> np.ndarray:
        nonlocal at
        if at + len(shares) > len(margins):
            raise Spent
        at += len(shares)
        return margins[at - len(shares) : at]

    return asked


def _levels(design: Rare, found: Estimate) -> list[Part]:
    head = ["", "estimate", "95 % from", "to", "coefficient of variation", "runs"]
    row = (
        design.method,
        *(f"{value:.3e}" for value in (found.probability, found.low, found.high)),
        f"{found.variation:.2f}",
        found.runs,
    )
    parts: list[Part] = [Table(head, [row])]
    if found.levels:
        whole = np.cumprod(found.shares)
        rows = [
            (k, margins.of_rule(level, design.rule), f"{share:.3f}", f"{p:.2e}")
            for k, (level, share, p) in enumerate(zip(found.levels, found.shares, whole, strict=True), 1)
        ]
        parts.append(Table(["level", "margin at most", "share of the level before", "probability"], rows))
        parts.append(
            Lines(
                "Probability that the margin is at most a level",
                *([100 * level for level in found.levels], {"log10 P": np.log10(whole).round(3).tolist()}),
                *("margin [% of the limit]", "log10 of the probability"),
                dots=True,
            )
        )
    return parts


def _names(table: Mapping[str, Any]) -> int:
    """How many tolerances a table has; bare dotted keys are tables within tables."""
    shapes = ("uniform", "normal", "values")
    count: Callable[[Any], int] = lambda entry: (  # noqa: E731
        1
        if not isinstance(entry, dict) or any(s in entry for s in shapes)
        else sum(map(count, entry.values()))
    )
    return sum(map(count, table.values()))
