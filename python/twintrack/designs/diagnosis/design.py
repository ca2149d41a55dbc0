# SPDX-License-Identifier: BSD-3-Clause
"""The dictionary of a diagnosis: every single fault of one pair × what would be observed of it.

The first pedal and body of the study are the pair; further ones are parts that somebody may have plugged in
by mistake. What scatters are the study's tolerances. Every case has the same noise, so that only the cause
differs.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from ... import _core
from ...errors import InputError, closest
from ...files.toml_file import TomlFile
from ...pages.section import Section, Table
from ...studies.study import Study
from ...units import RPM
from ..design import Design, Spec
from .causes import both, causes
from .readings import WINDING, metered, ohm_name, ohms_of, volt_name, volts_of

if TYPE_CHECKING:
    import pandas as pd

#: The foot of each run: rest, half, full.
STROKE = _core.Stroke(time=[0.0, 0.8, 1.0, 1.4, 1.5, 2.6], travel=[0.0, 0.0, 0.5, 0.5, 1.0, 1.0])

#: With an engine: start and settle first.
IDLE_STROKE = _core.Stroke(time=[0.0, 8.0, 8.2, 9.5], travel=[0.0, 0.0, 0.3, 0.3])

#: Draws of each cause for which a learn with the fault in it is tried: few where a meter tells more.
LEARN_DRAWS = {"wiring": 1}
_LEARN_DRAWS = 2

#: Goes up with each change of what is measured, so that no older dictionary is taken for it.
EDITION = 5

#: [s]
RECORD_PERIOD = 5e-3

#: [share of travel] that an eye sees the blade move, and by which it opens wide.
_MOVES, _OPENS = 0.015, 0.10


@dataclass(frozen=True)
class Diagnosis(Design):
    """Every single fault of one pair, what a meter, a code reader and the eye would observe of it.

    ``pairs``: labels of causes that are there two at a time besides. ``only``: families and kinds (default:
    all)."""

    pairs: tuple[str, ...] = ()
    only: tuple[str, ...] = ()

    name = "diagnosis"
    table = "diagnosis"
    columns: ClassVar[dict[str, Any]] = {"cause": "", "kind": "", "family": ""}

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Design:
        table = file.table.get("diagnosis", {})
        if not isinstance(table, dict):
            file.fail(("diagnosis",), "must be a table ([diagnosis])", table)
        file.only(("diagnosis",), table, ["pairs", "only"])
        for key in ("pairs", "only"):
            given = table.get(key, [])
            if not isinstance(given, list) or not all(isinstance(name, str) for name in given):
                file.fail(("diagnosis", key), "must be a list of texts", given)
        try:
            return cls.checked(study, solver, table.get("pairs", ()), table.get("only", ()))
        except InputError as error:
            file.fail(("diagnosis",), str(error))

    @classmethod
    def checked(
        cls, study: Study, solver: str = "lanes", pairs: Sequence[str] = (), only: Sequence[str] = ()
    ) -> Diagnosis:
        """Raises :class:`InputError` where there is no dictionary."""
        made = cls(study, solver, tuple(pairs), tuple(only))
        if made.bench.wiring.kind == "ideal":
            raise InputError("a diagnosis needs the wiring 'harness'; this bench has 'ideal'")
        words = sorted({str(spec.labels[key]) for spec in made._all for key in ("family", "kind")})
        for word in only:
            if word not in words:
                raise InputError(f"there is no family or kind {word!r}{closest(word, words)}")
        known = [spec.labels["cause"] for spec in made._singles]
        for label in pairs:
            if label not in known:
                raise InputError(f"there is no cause {label!r}{closest(str(label), known)}")
        return made

    def options(self) -> dict[str, Any]:
        return {"pairs": list(self.pairs), "only": list(self.only), "edition": EDITION}

    @classmethod
    def restore(cls, study: Study, solver: str, options: Mapping[str, Any]) -> Design:
        return cls(study, solver, tuple(options["pairs"]), tuple(options["only"]))

    @cached_property
    def bench(self) -> _core.BenchParameters:
        """The pair that is meant to be there."""
        return self.study.parameters(*self._pair, 0)

    @property
    def _pair(self) -> tuple[str, str]:
        return next(iter(self.study.pedals)), next(iter(self.study.bodies))

    @property
    def stroke(self) -> _core.Stroke:
        return IDLE_STROKE if self.study.engine is not None else STROKE

    @cached_property
    def changes(self) -> Mapping[str, Mapping[str, Any]]:
        """An eye needs no finer record."""
        return {"": {"record_period": RECORD_PERIOD}}

    @property
    def signals(self) -> tuple[str, ...]:
        return ("blade.opening",)

    @property
    def rules(self) -> Sequence[_core.Rule]:
        return ()

    # Causes
    # ---------------------------------------------------------------------------------------------------

    @cached_property
    def _singles(self) -> list[Spec]:
        wanted = {*self.only, "healthy"}
        return [s for s in self._all if not self.only or wanted & {s.labels["family"], s.labels["kind"]}]

    @cached_property
    def _all(self) -> list[Spec]:
        return causes(self.study, self.bench, self._pair)

    @cached_property
    def specs(self) -> Sequence[Spec]:
        named = {spec.labels["cause"]: spec for spec in self._singles}
        two = [both(named[a], named[b]) for a, b in itertools.combinations(self.pairs, 2)]
        return [*self._singles, *(spec for spec in two if spec is not None)]

    # Observations
    # ---------------------------------------------------------------------------------------------

    @cached_property
    def volts(self) -> list[tuple[str, str]]:
        """(point, stand) of each reading of a voltage."""
        return volts_of(self.bench)

    @cached_property
    def ohms(self) -> list[tuple[str, str]]:
        """Pairs between which a resistance is read."""
        return ohms_of(self.bench)

    def empty(self) -> dict[str, Any]:
        found = super().empty() | {"key_on": "", "follows": "", "refusal": "", "idle_rpm": math.nan}
        found |= {volt_name(*place): math.nan for place in self.volts}
        return found | {ohm_name(*pair): math.nan for pair in [*self.ohms, WINDING]}

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        result = ran.result
        assert result is not None
        row = super().measure(spec, case, learned, ran)
        row["codes"] = " ".join(dict.fromkeys(code.code for code in result.codes))
        row |= {"key_on": _key_on(result.record["blade.opening"]), "follows": result.response}
        if result.idle is not None:
            row["idle_rpm"] = result.idle.speed / RPM
        return row | metered(case, self.volts, self.ohms)

    def measure_together(self, cases: Sequence[tuple[Spec, _core.Case]]) -> list[dict[str, Any]]:
        """What a learn that is tried now would say; empty: not tried in this draw."""
        some = [k for k, (spec, case) in enumerate(cases) if self._learn_is_tried(spec, case)]
        tried = _core.run_learns([_learn_now(cases[k][1]) for k in some], threads=1)
        found = dict(zip(some, tried, strict=True))
        return [{"refusal": _refusal(found[k]) if k in found else ""} for k in range(len(cases))]

    def _learn_is_tried(self, spec: Spec, case: _core.Case) -> bool:
        draw = case.parameters.case_number // len(self.specs)
        return draw < LEARN_DRAWS.get(str(spec.labels["family"]), _LEARN_DRAWS)

    # What is told
    # ---------------------------------------------------------------------------------------------

    def headline(self, table: pd.DataFrame) -> str:
        causes = table["cause"].nunique()
        return f"{causes} causes, {len(table) // max(causes, 1)} draws of each: what would be observed."

    def tally(self, table: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
        head = ["family", "causes", "with codes", "learn refused"]
        rows = []
        for family, part in table.groupby("family", sort=False):
            coded = part.loc[part["codes"] != "", "cause"].nunique()
            refused = part.loc[~part["refusal"].isin(["", "accepted"]), "cause"].nunique()
            rows.append([str(family), str(part["cause"].nunique()), str(coded), str(refused)])
        return head, rows

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        first = table.drop_duplicates("cause")
        names = ["cause", "family", "codes", "key_on", "follows", "refusal"]
        rows = [tuple(str(value) for value in row) for row in first[names].itertuples(index=False)]
        head = ["cause", "family", "codes in their order", "blade at key-on", "follows", "a learn now"]
        return [Section("Causes and their signs", [Table(head, rows, "The first draw of each")])]

    def label(self, spec: Spec) -> str:
        return str(spec.labels["cause"])


def _learn_now(case: _core.Case) -> _core.Case:
    """A learn with what is wrong in the run; the engine stands."""
    faults = [fault for fault in case.faults_of_run if fault.where != "manifold"]
    return _core.Case(parameters=case.parameters, learn_faults=faults)


def _refusal(learned: _core.Learned) -> str:
    if learned.result is None:
        raise RuntimeError(f"a learn with a fault in it cannot be run: {learned.refused}")
    return "accepted" if learned.result.accepted else learned.result.refusal


def _key_on(opening: Any) -> str:
    """What the blade did after key-on, the foot off: ``opening`` of the whole run."""
    first = opening[: round(0.25 * len(opening))]
    if first.max() - first[0] > _OPENS:
        return "opens"
    if abs(first - first[0]).max() < _MOVES:
        return "still"
    return "moves"
