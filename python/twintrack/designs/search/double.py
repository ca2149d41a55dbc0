# SPDX-License-Identifier: BSD-3-Clause
"""A latent first fault, then a second one: ``design = "double faults"``, table ``[double_faults]``.

[double_faults]
rule = "hazard"
first = "1 s"                    # when the first fault comes
second = "3 s"                   # when the second one comes
perceived = ["none"]             # responses that a driver notices: such a fault is not latent
runs = 20000                     # the most

Every single fault is run alone, as the first one and as the second one. A first fault is *latent* when it
sets no code, breaks no rule and gives no response that is perceived. Pairs are left out whose first fault is
not latent (somebody knows of it), whose second one alone breaks the rule (a single-point fault), and of two
faults of one kind at one place. What lies between the faults is one drive; what a key cycle would show is not
simulated.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from ... import _core
from ...errors import InputError
from ...files.toml_file import TomlFile
from ...pages.section import Section, Table
from ...studies.study import Study
from ...tolerances.distribution import Choice
from ...tolerances.tolerance import Tolerance
from ...units import quantity
from ..audit.faults import SingleFault, single_faults
from ..pursuit import Ask, Pursuit, made, read_pursuit
from ..shown import traces

if TYPE_CHECKING:
    import pandas as pd

NONE = "none"
FIRST, SECOND = "fault1.kind", "fault2.kind"

_KEYS = ["rule", "runs", "healthy_before", "first", "second", "perceived"]
_RESPONSES = ("none", "wrong")

#: Cases that are asked for together.
_GROUP = 512


@dataclass(frozen=True)
class DoubleFaults(Pursuit):
    """Pairs of single faults, the first of them latent: what the second then does."""

    first: float = 1.0
    second: float = 3.0
    perceived: tuple[str, ...] = (NONE,)

    name = "double faults"
    table = "double_faults"
    one_noise: ClassVar[bool] = True

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> DoubleFaults:
        common = read_pursuit(file, study, "double_faults", 10_000_000, 20_000)
        table = file.table.get("double_faults", {})
        file.only(("double_faults",), table, _KEYS)
        if "faults" in file.table:
            file.fail(("faults", 0), "double faults are made from all single ones; leave these out")
        if "tolerances" in file.table:
            file.fail(("tolerances",), "double faults are a list of pairs; nothing scatters in it")
        perceived = table.get("perceived", [NONE])
        if not isinstance(perceived, list) or not set(perceived) <= set(_RESPONSES):
            file.fail(("double_faults", "perceived"), "must be a list of 'none' and 'wrong'", perceived)
        times = {}
        for key, usual in (("first", 1.0), ("second", 3.0)):
            try:
                times[key] = quantity(table[key], "s") if key in table else usual
            except InputError as error:
                file.fail(("double_faults", key), str(error), table[key])
        if not 0.0 <= times["first"] < times["second"] < study.stroke.duration:
            file.fail(
                ("double_faults",),
                f"needs 0 ≤ first < second < end of the stroke, {study.stroke.duration:g} s; got "
                f"{times['first']:g} s and {times['second']:g} s",
            )
        own = common | times | {"healthy_before": False, "perceived": tuple(perceived)}
        found: DoubleFaults = made(file, "double_faults", lambda: cls(study, solver, **own))
        return found

    def options(self) -> dict[str, Any]:
        own = {"first": self.first, "second": self.second, "perceived": list(self.perceived)}
        return super().options() | own

    @classmethod
    def restore(cls, study: Study, solver: str, options: Mapping[str, Any]) -> DoubleFaults:
        return cls(study, solver, **{**options, "perceived": tuple(options["perceived"])})

    @cached_property
    def singles(self) -> dict[str, SingleFault]:
        bench = self.study.bench_of(self.study.pairings()[0], 0)
        return {one.label: one for one in single_faults(bench, brake=self.study.brake is not None)}

    @cached_property
    def own(self) -> tuple[Tolerance, ...]:
        names = (NONE, *self.singles)
        weights = (1.0 / len(names),) * len(names)
        return tuple(Tolerance(name, Choice(names, weights)) for name in (FIRST, SECOND))

    def faults_drawn(
        self, faults: tuple[_core.Fault, ...], draw: Mapping[str, Any]
    ) -> tuple[_core.Fault, ...]:
        found = []
        for key, start in ((FIRST, self.first), (SECOND, self.second)):
            if (name := draw.get(key, NONE)) != NONE:
                found.append(self.singles[name].at(start))
        return tuple(found)

    def pursue(self, plan: Any, ask: Ask) -> None:
        alone = [(name, NONE) for name in (NONE, *self.singles)] + [(NONE, name) for name in self.singles]
        rows = self._ask(ask, alone)
        pairs = self.pairs(rows)
        if len(alone) + len(pairs) > self.runs:
            raise InputError(
                f"{self.study.path}: {len(alone)} single cases and {len(pairs)} pairs are more than "
                f"runs = {self.runs}"
            )
        self._ask(ask, pairs)

    @staticmethod
    def _ask(ask: Ask, pairs: list[tuple[str, str]]) -> list[dict[str, Any]]:
        rows = []
        for at in range(0, len(pairs), _GROUP):
            rows += ask([{FIRST: a, SECOND: b} for a, b in pairs[at : at + _GROUP]])
        return rows

    def pairs(self, rows: list[dict[str, Any]]) -> list[tuple[str, str]]:
        """What is left to run, by the rows of the single faults."""
        firsts = [row[FIRST] for row in rows if row[FIRST] != NONE and self.latent(row)]
        seconds = [row[SECOND] for row in rows if row[SECOND] != NONE and not _broken(row) and _ran(row)]
        place = {name: (one.where, one.what) for name, one in self.singles.items()}
        return [(a, b) for a in firsts for b in seconds if place[a] != place[b]]

    def latent(self, row: Mapping[str, Any]) -> bool:
        """Whether a first fault, alone, is neither detected nor perceived, and harms nobody."""
        return _ran(row) and not row["codes"] and not _broken(row) and row["response"] not in self.perceived

    def headline(self, table: pd.DataFrame) -> str:
        single, pairs = split(table)
        latent = [row for row in single if row[FIRST] != NONE and self.latent(row)]
        firsts = sum(row[FIRST] != NONE for row in single)
        point = sum(row[SECOND] != NONE and _broken(row) for row in single)
        text = (
            f"{firsts} single faults: {len(latent)} are latent (no code, not perceived, harmless alone); "
            f"{point} break {self.rule.name!r} alone."
        )
        bad = [row for row in pairs if _broken(row)]
        if not pairs:
            return f"{text} No pair has been run."
        if not bad:
            return f"{text} None of {len(pairs):,} pairs of a latent fault and a second one breaks it."
        unseen = sum(not row["codes"] for row in bad)
        worst = min(bad, key=lambda row: row["sought_margin"])
        return (
            f"{text} {len(bad)} of {len(pairs):,} pairs break it though neither fault does alone, {unseen} "
            f"of them without a code; the worst: {worst[FIRST]}, then {worst[SECOND]}."
        )

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        single, pairs = split(table)
        latent = [row for row in single if row[FIRST] != NONE and self.latent(row)]
        bad = sorted((row for row in pairs if _broken(row)), key=lambda row: row["sought_margin"])
        head = [
            "case",
            "first fault",
            "then",
            "margin, of the limit",
            "trouble codes",
            "reaction",
            "response",
        ]
        found = [Section("Worst pairs", [self.rule.sentence, Table(head, [_shown(r) for r in bad[:200]])])]
        rows = []
        for one in latent:
            mine = [row for row in pairs if row[FIRST] == one[FIRST]]
            broken = sum(_broken(row) for row in mine)
            rows.append((one[FIRST], one["response"], len(mine), broken, _percent(one["sought_margin"])))
        rows.sort(key=lambda row: -row[3])
        head = ["latent fault", "response", "pairs run", "that break the rule", "margin alone"]
        found.append(Section("Latent faults", [Table(head, rows)]))
        point = [row for row in single if row[SECOND] != NONE and _broken(row)]
        head = ["case", "", "fault", "margin, of the limit", "trouble codes", "reaction", "response"]
        found.append(
            Section("Single faults that break the rule alone", [Table(head, [_shown(r) for r in point])])
        )
        if bad:
            found.append(Section("Traces", traces(result, {int(bad[0]["case"]): "worst pair"})))
        return found


def split(table: pd.DataFrame) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Rows of single faults, and of pairs."""
    rows = [{str(k): v for k, v in row.items()} for row in table.reset_index().to_dict("records")]
    double = [row[FIRST] != NONE and row[SECOND] != NONE for row in rows]
    return [r for r, two in zip(rows, double, strict=True) if not two], [
        r for r, two in zip(rows, double, strict=True) if two
    ]


def _ran(row: Mapping[str, Any]) -> bool:
    return not row["excluded"]


def _broken(row: Mapping[str, Any]) -> bool:
    return _ran(row) and row["sought_margin"] < 0


def _percent(margin: float) -> str:
    return f"{100 * margin:+.1f} %".replace("-", "−")


def _shown(row: Mapping[str, Any]) -> tuple[Any, ...]:
    margin = _percent(row["sought_margin"])
    return (
        row["case"],
        row[FIRST],
        row[SECOND],
        margin,
        row["codes"] or "none",
        row["reaction"],
        row["response"],
    )
