# SPDX-License-Identifier: BSD-3-Clause
"""What every case of an experiment is: a pure function of study, design, seed and number.

A design lists P cases. Case i is the design's case i mod P with point ⌊i / P⌋ of the sample: all cases of the
design meet the same draws, and any number of cases can be added later.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from .. import _core
from ..designs import DESIGNS
from ..designs.design import Design, Spec
from ..designs.pursuit import Pursuit
from ..errors import InputError, closest, listing
from ..files import toml_file
from ..studies import own_controller, reader
from ..studies.own_controller import OwnController
from ..tolerances import correlation, distribution, tolerance
from ..tolerances.apply import OF_RUN, Draw, Own, case_of, faults_of
from ..tolerances.correlation import Correlation
from ..tolerances.sampling import Floats, correlate, points
from ..tolerances.settings import Sampling, sampling_from_file
from ..tolerances.tolerance import Tolerance
from .plain import study_from_plain, study_to_plain

#: "lanes": each case that lanes can take runs there, the others in the exact solver; the case alone decides.
SOLVERS = ("lanes", "exact")

#: Cases of a study whose parameters scatter, by default.
USUAL = 1000
MOST = 100_000_000

#: What a range learn cannot see of a changed bench.
_UNSEEN = ("monitor", "record_period")


@dataclass(frozen=True)
class Plan:
    """A checked study with its design and tolerances."""

    design: Design
    tolerances: tuple[Tolerance, ...] = ()
    correlated: tuple[Correlation, ...] = ()
    sampling: Sampling = field(default_factory=Sampling)

    @property
    def study(self) -> Any:
        return self.design.study

    @property
    def solver(self) -> str:
        """Lanes know no controller and no monitor but the built-in ones."""
        return "exact" if set(self.study.units) - {"learn"} else self.design.solver

    def with_units(self, units: Mapping[str, OwnController]) -> Plan:
        """The same with units of one's own; of a plan that has them, the same ones."""
        known = self.study.units
        given = {role: own_controller.same(known.get(role, unit), unit) for role, unit in units.items()}
        return replace(self, design=replace(self.design, study=replace(self.study, units={**known, **given})))

    @cached_property
    def names(self) -> list[str]:
        """The parameters that scatter."""
        return [tolerance.parameter for tolerance in self.tolerances]

    @cached_property
    def specs(self) -> Sequence[Spec]:
        """What the cases are dealt to."""
        if not (specs := self.design.specs):
            raise InputError(f"{self.study.path}: the study has no case")
        return specs

    @property
    def cases(self) -> int:
        """How many there are by default; of an adaptive design the most."""
        if isinstance(self.design, Pursuit):
            return self.design.runs
        return max(USUAL, len(self.specs)) if self.scatters else len(self.specs)

    @property
    def scatters(self) -> bool:
        """Whether a parameter has more than one value, so that cases are a sample."""
        return any(len(t.distribution.reach()) > 1 for t in self.tolerances)

    @cached_property
    def seed(self) -> int:
        """Of the sample and of all noise."""
        return int(self.study.seed)

    @cached_property
    def _owns(self) -> dict[tuple[Any, ...], Own]:
        return {}

    def own(self, spec: Spec) -> Own:
        """The bench of a case as study and design have it, made once for all that share it."""
        pair = spec.pairing
        key = (pair.pedal, pair.body, pair.disturbed_learn and pair.disturbed_learn.limits, spec.setup)
        if key not in self._owns:
            bench = self.study.bench_of(pair, 0)
            changes = self.design.changes[spec.setup]
            self._owns[key] = Own.of(bench.replace(dict(changes)) if changes else bench)
        return self._owns[key]

    def spec(self, number: int) -> Spec:
        return self.specs[number % len(self.specs)]

    def noise(self, number: int) -> int:
        """The number that the noise of a case is keyed by."""
        if self.design.one_noise:
            return 0
        own = self.spec(number).noise
        return number if own is None else own + number // len(self.specs) * len(self.specs)

    def draws(self, first: int, count: int) -> list[Draw]:
        """The values of the cases ``first`` … ``first + count - 1``, by name of the parameter."""
        if not self.tolerances:
            return [{}] * count
        size = len(self.specs)
        begin, end = first // size, (first + count - 1) // size + 1
        method, block = self.sampling.method, self.sampling.block
        shares = points(method, self.seed, len(self.tolerances), begin, end - begin, block)
        of = self.draws_at(shares)
        return [of[i // size - begin] for i in range(first, first + count)]

    def draws_at(self, shares: Floats) -> list[Draw]:
        """The values at points of the unit cube, shape (n, parameters)."""
        mixed = correlation.mixing(self.correlated, self.names)
        if mixed and mixed[0]:
            shares = correlate(shares, *mixed)
        columns = [
            np.asarray(t.distribution.at(shares[:, k])).tolist() for k, t in enumerate(self.tolerances)
        ]
        return [dict(zip(self.names, values, strict=True)) for values in zip(*columns, strict=True)]

    def case(self, number: int, draw: Draw | None = None, learning: bool = False) -> _core.Case:
        """One case as the core runs it, or as it was when the range learn was run."""
        values = self.draws(number, 1)[0] if draw is None else draw
        spec = self.spec(number)
        return case_of(
            self.design, spec, self.own(spec), self.noise(number), self.tolerances, values, learning
        )

    def faults(self, number: int, draw: Draw) -> tuple[_core.Fault, ...]:
        """The faults of one case."""
        own = faults_of(self.study, self.spec(number), self.tolerances, draw)
        return self.design.faults_drawn(own, draw)

    @cached_property
    def learns_scatter(self) -> bool:
        """Whether a range learn sees something that scatters; else learns are shared."""
        return any(not (t.after_learn or t.parameter.startswith(OF_RUN)) for t in self.tolerances)

    @cached_property
    def teachers(self) -> dict[int, int]:
        """For each case of the design that learns: the first one whose range learn is the same."""
        first: dict[tuple[Any, ...], int] = {}
        found = {}
        for k, spec in enumerate(self.specs):
            pair = spec.pairing
            if pair.learn != "none":
                disturbed_learn = pair.disturbed_learn and replace(pair.disturbed_learn, stays=False)
                changed = any(not name.startswith(_UNSEEN) for name in self.design.changes[spec.setup])
                key = (pair.learned_pedal, pair.learned_body, disturbed_learn, spec.setup if changed else "")
                found[k] = first.setdefault(key, k)
        return found

    @cached_property
    def empty(self) -> dict[str, Any]:
        """The columns of what became of a case, as they stand for one that was not run."""
        found = self.design.empty() | {"solver": "", "status": "", "outcome": "", "rules_failed": ""}
        for rule in [*self.design.more_rules, *self.design.rules]:
            found[f"rule: {rule.name}"] = ""
            found |= {f"margin: {rule.name}": math.nan, f"when: {rule.name}": math.nan}
        return found

    def to_plain(self) -> dict[str, Any]:
        """Nested plain values, fit for JSON."""
        return {
            "study": study_to_plain(self.study),
            "design": {"name": self.design.name, **self.design.options()},
            "tolerances": [
                asdict(t) | {"distribution": distribution.plain(t.distribution)} for t in self.tolerances
            ],
            "correlated": [asdict(c) for c in self.correlated],
            "sampling": asdict(self.sampling),
            "solver": self.solver,
        }

    @staticmethod
    def from_plain(values: Mapping[str, Any]) -> Plan:
        """The inverse of :meth:`to_plain`."""
        study, options = study_from_plain(values["study"]), dict(values["design"])
        return Plan(
            DESIGNS[options.pop("name")].restore(study, values["solver"], options),
            tuple(
                Tolerance(**{**t, "distribution": distribution.from_plain(t["distribution"])})
                for t in values["tolerances"]
            ),
            tuple(Correlation(tuple(c["parameters"]), c["rank"]) for c in values["correlated"]),
            Sampling(**values["sampling"]),
        )

    def essence(self) -> dict[str, Any]:
        """What decides the results: all but title and path."""
        values: dict[str, Any] = json.loads(json.dumps(self.to_plain(), allow_nan=False))
        for key in ("title", "path"):
            del values["study"][key]
        values["design"].pop("source", None)
        return values

    def fingerprint(self) -> str:
        """SHA-256 of the essence: equal when every case would be the same."""
        text = json.dumps(self.essence(), sort_keys=True, allow_nan=False)
        return hashlib.sha256(text.encode()).hexdigest()


def load(source: str | Path | toml_file.TomlFile, solver: str = "lanes") -> Plan:
    """Reads and checks a study file with its design and tolerances; ``solver`` is one of ``SOLVERS``."""
    if solver not in SOLVERS:
        raise InputError(
            f"there is no solver {solver!r}{closest(solver, SOLVERS)} (there are: {listing(SOLVERS)})"
        )
    file = source if isinstance(source, toml_file.TomlFile) else toml_file.read(source)
    study = reader.study_of(file)
    design = _design(file).read(file, study, solver)
    tolerances = (*design.own, *tolerance.from_file(file, study))
    correlated = correlation.from_file(file, [t.parameter for t in tolerances])
    plan = Plan(design, tolerances, correlated, sampling_from_file(file))
    if design.adaptive and "sampling" in file.table:
        file.fail(("sampling",), f"the design {design.name!r} chooses its cases itself")
    if tolerances:
        _check_ends(file, plan)
    elif not {"correlated", "sampling"}.isdisjoint(file.table):
        key = "sampling" if "sampling" in file.table else "correlated"
        file.fail((key,), "goes with [tolerances], and there are none")
    return plan


def _design(file: toml_file.TomlFile) -> type[Design]:
    """The design that a file names, or whose table it has."""
    name = file.table.get("design")
    there = [d.name for d in DESIGNS.values() if d.table and d.table in file.table]
    if name is None:
        name = there[0] if there else "pairing"
    if not isinstance(name, str) or name not in DESIGNS:
        hint = closest(str(name), DESIGNS)
        file.fail(("design",), f"there is no such design{hint} (there are: {listing(DESIGNS)})", name)
    for other in there:
        if other != name:
            file.fail((DESIGNS[other].table,), f"goes with design = {other!r}; this is {name!r}")
    return DESIGNS[name]


def _check_ends(file: toml_file.TomlFile, plan: Plan) -> None:
    """Both ends of each tolerance must be allowed for each pair; the core says what is."""
    pairs = {(s.pairing.pedal, s.pairing.body, s.setup): i for i, s in reversed(list(enumerate(plan.specs)))}
    for one in plan.tolerances:
        for number in pairs.values():
            for value in one.distribution.reach():
                _check_end(file, plan, one, number, value)


def _check_end(file: toml_file.TomlFile, plan: Plan, one: Tolerance, number: int, value: Any) -> None:
    spec, draw = plan.spec(number), {one.parameter: value}
    try:
        case = case_of(plan.design, spec, plan.own(spec), number, (one,), draw)
        if one.parameter.startswith(OF_RUN):
            faults = plan.design.faults_drawn(faults_of(plan.study, spec, (one,), draw), draw)
            _core.Session(case.parameters, plan.design.stroke, faults=list(faults))
    except (_core.InvalidParameter, InputError) as error:
        shown = f"{value:g}" if isinstance(value, float) else repr(value)
        limits = "" if one.way == "value" else f" as {one.way}"
        pair = f"{spec.pairing.pedal} with {spec.pairing.body}"
        file.fail(
            _place_in(file, one.parameter), f"can become {shown}{limits}, which {pair} refuses: {error}"
        )


def _place_in(file: toml_file.TomlFile, parameter: str) -> toml_file.Place:
    """Where the tolerance of a parameter stands: one quoted key, or bare dotted ones."""
    whole = ("tolerances", parameter)
    return whole if whole in file.lines else ("tolerances", *parameter.split("."))
