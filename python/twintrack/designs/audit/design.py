# SPDX-License-Identifier: BSD-3-Clause
"""Every single fault of a pair, at several instants of a drive, under several monitors.

Any study file can be audited: ``design = "audit"``; its table ``[audit]`` says how (``examples/audit.toml``
teaches it).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from ... import _core
from ...errors import InputError
from ...files.toml_file import TomlFile
from ...pages import severity
from ...pages.section import Section
from ...rulebooks import rulebook
from ...studies import setups
from ...studies.study import Pairing, Study
from .. import outcome
from ..design import Design, Spec
from . import file as audit_file
from . import judge, sections, table
from .faults import SingleFault, single_faults
from .instants import times
from .table import UNWATCHED

if TYPE_CHECKING:
    import pandas as pd

#: Rules that are held against each run where there is an engine, whatever the study names.
_ENGINE_RULES = ("idle band", "return to idle, light", "speed limit")


@dataclass(frozen=True)
class Audit(Design):
    """Faults × instants × monitor set-ups, each pair after a learn of its own."""

    setups: Mapping[str, _core.MonitorParameters] = field(default_factory=dict)
    instants: Sequence[str] = ()
    drive: _core.Stroke | None = None

    name = "audit"
    table = "audit"
    columns: ClassVar[dict[str, Any]] = {
        **dict.fromkeys(("setup", "kind", "group", "instant"), ""),
        "amount": math.nan,
        "start_s": 0.0,
    }
    hazard_default = (0.10, 0.5)

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Design:
        return cls(study, solver, *audit_file.read(file, study))

    def options(self) -> dict[str, Any]:
        stroke = self.stroke
        return {
            "setups": {name: monitor.to_dict() for name, monitor in self.setups.items()},
            "instants": list(self.instants),
            "drive": {"time": list(stroke.time), "travel": list(stroke.travel)},
        }

    @classmethod
    def restore(cls, study: Study, solver: str, options: Mapping[str, Any]) -> Design:
        monitors = options["setups"].items()
        named = {name: _core.MonitorParameters.from_dict(values) for name, values in monitors}
        return cls(study, solver, named, options["instants"], _core.Stroke(**options["drive"]))

    @property
    def stroke(self) -> _core.Stroke:
        return self.drive or self.study.stroke

    @property
    def pairs(self) -> list[tuple[str, str]]:
        return list(itertools.product(self.study.pedals, self.study.bodies))

    @property
    def signals(self) -> tuple[str, ...]:
        return judge.SIGNALS

    @cached_property
    def rules(self) -> Sequence[_core.Rule]:
        chosen = list(self.study.rules or rulebook.rules())
        if self.study.engine is not None:
            named = {rule.name for rule in chosen}
            chosen += [r for r in rulebook.rules() if r.name in _ENGINE_RULES and r.name not in named]
        return chosen

    @cached_property
    def changes(self) -> Mapping[str, Mapping[str, Any]]:
        return {name: {"monitor": monitor} for name, monitor in self.setups.items()}

    @cached_property
    def healthy(self) -> dict[tuple[str, str], tuple[Any, dict[str, float], float]]:
        """Of each pair the blade's opening without fault and monitor, when the instants are, and where the
        springs leave the blade. The controller is the built-in one, whatever the study's: the instants follow
        from the study alone."""
        cases = []
        for pedal, body in self.pairs:
            bench = self._benches[pedal, body]
            cases.append(_core.Case(parameters=bench, stroke=self.stroke, brake=self.study.brake))
        if self.solver == "lanes":
            learned = [one.result for one in _core.run_learns(cases)]
        else:
            learned = [_core.run_learn(case).result for case in cases]
        for (pedal, body), known in zip(self.pairs, learned, strict=True):
            if known is None or not known.accepted:
                reason = known.reason if known else "cannot be run"
                raise InputError(
                    f"{pedal} + {body}: the range learn is refused ({reason}); "
                    "an audit needs a pair that learns"
                )
        found = {}
        runs = _core.run_batch(cases, learned, solver=self.solver, signals=["blade.opening"])
        for (pedal, body), ran in zip(self.pairs, runs, strict=True):
            assert ran.result is not None
            record, resting = ran.result.record, judge.default_opening(self.study.bodies[body])
            blade = record["blade.opening"].copy()
            found[pedal, body] = (blade, times(self.stroke, blade, record.time, resting), resting)
        return found

    @cached_property
    def _drawn(self) -> dict[tuple[str, str], tuple[_core.BenchParameters, Any, Any]]:
        """Of each pair the last healthy case that was run anew, its learn, and its blade."""
        return {}

    def _reference(self, spec: Spec, case: _core.Case, learned: Any) -> tuple[Any, float]:
        """The blade's opening without fault and monitor, and where the springs leave it. When parameters
        scatter that is a run of its own, made once for all faults and set-ups that meet the same values."""
        pair = spec.pairing.pedal, spec.pairing.body
        bench = case.parameters.replace(monitor=self.setups[UNWATCHED])
        nominal = self._benches[pair]
        if bench == nominal and not {"controller", "learn"} & set(self.study.units):
            return self.healthy[pair][0], self.healthy[pair][2]
        known = self._drawn.get(pair)
        if known is None or known[0] != bench or known[1] is not learned:
            healthy = _core.Case(parameters=bench, stroke=self.stroke, brake=self.study.brake)
            (ran,) = _core.run_batch(
                [healthy],
                [learned],
                solver=self.solver,
                signals=["blade.opening"],
                controller=self.study.own["controller"],
            )
            assert ran.result is not None
            known = self._drawn[pair] = bench, learned, ran.result.record["blade.opening"].copy()
        return known[2], judge.default_opening(bench.body)

    @cached_property
    def _benches(self) -> dict[tuple[str, str], _core.BenchParameters]:
        return {
            pair: self.study.parameters(*pair, number).replace(monitor=self.setups[UNWATCHED])
            for number, pair in enumerate(self.pairs)
        }

    def faults(self, pedal: str, body: str) -> list[SingleFault]:
        return single_faults(self.study.parameters(pedal, body, 0), brake=self.study.brake is not None)

    @cached_property
    def specs(self) -> Sequence[Spec]:
        """The set-ups of a fault stand side by side; those without a fault of each pair first. All cases of a
        pair have the same noise, so that only the fault differs."""
        found = []
        for number, (pedal, body) in enumerate(self.pairs):
            plain = Spec(Pairing(pedal, body, "fresh", pedal, body), noise=number, faults=())
            when = self.healthy[pedal, body][1]
            found += [replace(plain, setup=name, labels={"setup": name}) for name in self.setups]
            for fault, instant in itertools.product(self.faults(pedal, body), self.instants):
                if instant not in when:
                    continue
                labels = {
                    "fault": fault.label,
                    "kind": fault.kind,
                    "group": fault.group,
                    "amount": fault.amount,
                    "instant": instant,
                    "start_s": when[instant],
                }
                faults = (fault.at(when[instant]),)
                found += [
                    replace(plain, setup=name, labels={**labels, "setup": name}, faults=faults)
                    for name in self.setups
                ]
        return found

    @cached_property
    def _judges(self) -> dict[tuple[str, str], _core.BenchParameters]:
        return {pair: self.study.parameters(*pair, 0) for pair in self.pairs}

    def judge_of(self, spec: Spec, case: _core.Case) -> _core.BenchParameters:
        """The study's own monitor whatever the set-up: all set-ups before one judge."""
        return self._judges[spec.pairing.pedal, spec.pairing.body]

    def empty(self) -> dict[str, Any]:
        return super().empty() | judge.EMPTY

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        result = ran.result
        assert result is not None
        blade, resting = self._reference(spec, case, learned)
        start = float(spec.labels.get("start_s", 0.0))
        found = judge.assess(result, blade, start, resting, self.hazard)
        response = result.response
        response = "uncommanded" if found["hazard"] else "wrong" if response == "uncommanded" else response
        rated = severity.rate(
            response, found["hazard"], bool(spec.faults), bool(found["detected_by"]), found["reaction"]
        )
        return outcome.columns(result) | found | rated

    def judge(self, cases: pd.DataFrame) -> pd.DataFrame:
        return table.judged(cases)

    def headline(self, cases: pd.DataFrame) -> str:
        return table.headline(self, cases)

    def tally(self, cases: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
        rows = table.coverage_rows(table.coverage(cases, list(self.setups)))
        return table.HEAD[:9], [row[:9] for row in rows]

    def sections(self, result: Any, cases: pd.DataFrame) -> list[Section]:
        return sections.sections(self, result, cases)

    def label(self, spec: Spec) -> str:
        text = f"{spec.pairing.pedal} + {spec.pairing.body}, {spec.setup}: "
        return text + (f"{spec.labels['fault']}, {spec.labels['instant']}" if spec.faults else "no fault")

    def meaning(self, setup: str) -> str:
        return setups.MEANING.get(setup, "the file's own ([audit.monitor])")
