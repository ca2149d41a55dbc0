# SPDX-License-Identifier: BSD-3-Clause
"""What every case of a campaign is: a pure function of study, seed and number.

Cases are dealt to the pairs (and learn states, and wiring faults) of the study in turn, and case i takes
point ⌊i / number of pairs⌋ of the sample: all pairs meet the same draws, and any number of cases can be added
later.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from .. import _core
from ..errors import InputError, closest, listing
from ..files import toml_file
from ..studies import reader
from ..studies.learns import Learns
from ..studies.study import Pairing, Study
from . import correlation, distribution, engines, tolerance
from .apply import Draw, Own, case_of, faults_of
from .correlation import Correlation
from .plain import study_from_plain, study_to_plain
from .sampling import METHODS, correlate, points
from .settings import ENGINES, Sampling, sampling_from_file
from .tolerance import Tolerance

__all__ = ["METHODS", "Plan", "load"]


@dataclass(frozen=True)
class Plan:
    """A checked study with its tolerances."""

    study: Study
    tolerances: tuple[Tolerance, ...] = ()
    correlated: tuple[Correlation, ...] = ()
    sampling: Sampling = field(default_factory=Sampling)
    engine: str = "exact"

    @cached_property
    def names(self) -> list[str]:
        """The parameters that scatter."""
        return [tolerance.parameter for tolerance in self.tolerances]

    @cached_property
    def pairings(self) -> list[Pairing]:
        """What the cases are dealt to."""
        return self.study.pairings()

    @cached_property
    def seed(self) -> int:
        """Of the sample and of all noise."""
        return self.study.seed

    @cached_property
    def _owns(self) -> list[Own]:
        """What each pairing is without draws; those that differ in their fault only share one."""
        alike = [replace(p, fault=None) for p in self.pairings]
        made = {p: Own.of(self.study, p) for p in dict.fromkeys(alike)}
        return [made[p] for p in alike]

    def own(self, number: int) -> Own:
        """The pair of a case as the study has it."""
        return self._owns[number % len(self.pairings)]

    def pairing(self, number: int) -> Pairing:
        """What is plugged in in this case."""
        return self.pairings[number % len(self.pairings)]

    def draws(self, first: int, count: int) -> list[Draw]:
        """The values of the cases ``first`` … ``first + count - 1``, by name of the parameter."""
        begin = first // len(self.pairings)
        end = (first + count - 1) // len(self.pairings) + 1
        method, block = self.sampling.method, self.sampling.block
        shares = points(method, self.seed, len(self.tolerances), begin, end - begin, block)
        mixed = correlation.mixing(self.correlated, self.names)
        if mixed and mixed[0]:
            shares = correlate(shares, *mixed)
        columns = [
            np.asarray(t.distribution.at(shares[:, k])).tolist() for k, t in enumerate(self.tolerances)
        ]
        rows = ((i // len(self.pairings)) - begin for i in range(first, first + count))
        return [{name: column[row] for name, column in zip(self.names, columns, strict=True)} for row in rows]

    def case(self, number: int, draw: Draw | None = None) -> _core.Case:
        """One case as the core runs it; ``draw`` in place of its own values."""
        values = self.draws(number, 1)[0] if draw is None else draw
        return case_of(self.study, self.pairing(number), self.own(number), number, self.tolerances, values)

    @cached_property
    def _learns(self) -> Learns:
        return Learns(self.study, self.pairings)

    def learned(self, number: int, draw: Draw | None = None) -> _core.LearnResult | None:
        """The range learn of one case; ``None`` when nothing is learned."""
        values = self.draws(number, 1)[0] if draw is None else draw
        learned = self.learns([number], [values])[0]
        if isinstance(learned, str):
            raise _core.InvalidParameter(learned)
        return learned

    def learns(self, numbers: Sequence[int], draws: Sequence[Draw]) -> list[_core.LearnResult | str | None]:
        """The range learns of some cases, in order: ``None`` when nothing is learned, a sentence when a case
        cannot be run.

        When nothing that scatters is seen by the learn, all cases of a pair share one, made in the exact
        engine; else each case's is made in the plan's engine.
        """
        found: list[_core.LearnResult | str | None] = [None] * len(numbers)
        learning = [k for k, number in enumerate(numbers) if self.pairing(number).learn != "none"]
        if all(t.after_learn or t.parameter.startswith("fault") for t in self.tolerances):
            for k in learning:
                found[k] = self._learns(numbers[k] % len(self.pairings))
            return found
        cases: dict[int, _core.Case] = {}
        for k in learning:
            pair = self.pairing(numbers[k])
            try:
                cases[k] = case_of(
                    self.study,
                    pair,
                    self.own(numbers[k]),
                    numbers[k],
                    self.tolerances,
                    draws[k],
                    learning=True,
                )
            except _core.InvalidParameter as refusal:
                found[k] = str(refusal)
        for k, learned in zip(cases, engines.learn(self.engine, list(cases.values())), strict=True):
            found[k] = learned
        return found

    def faults(self, number: int, draw: Draw) -> tuple[_core.Fault, ...]:
        """The faults of one case."""
        return faults_of(self.study, self.pairing(number), self.tolerances, draw)

    def to_plain(self) -> dict[str, Any]:
        """Nested plain values, fit for JSON."""
        return {
            "study": study_to_plain(self.study),
            "tolerances": [
                asdict(t) | {"distribution": distribution.plain(t.distribution)} for t in self.tolerances
            ],
            "correlated": [asdict(c) for c in self.correlated],
            "sampling": asdict(self.sampling),
            "engine": self.engine,
        }

    @staticmethod
    def from_plain(values: dict[str, Any]) -> Plan:
        """The inverse of :meth:`to_plain`."""
        return Plan(
            study_from_plain(values["study"]),
            tuple(
                Tolerance(**{**t, "distribution": distribution.from_plain(t["distribution"])})
                for t in values["tolerances"]
            ),
            tuple(Correlation(tuple(c["parameters"]), c["rank"]) for c in values["correlated"]),
            Sampling(**values["sampling"]),
            values["engine"],
        )

    def essence(self) -> dict[str, Any]:
        """What decides the results: all but title, path and which traces are kept."""
        values: dict[str, Any] = json.loads(json.dumps(self.to_plain(), allow_nan=False))
        for key in ("title", "path", "traces"):
            del values["study"][key]
        return values

    def fingerprint(self) -> str:
        """SHA-256 of the essence: equal when every case would be the same."""
        text = json.dumps(self.essence(), sort_keys=True, allow_nan=False)
        return hashlib.sha256(text.encode()).hexdigest()


def load(path: str | Path, engine: str = "exact") -> Plan:
    """Reads and checks a study file with its tolerances; ``engine`` is one of ``ENGINES``."""
    if engine not in ENGINES:
        raise InputError(
            f"there is no engine {engine!r}{closest(engine, ENGINES)} (there are: {listing(ENGINES)})"
        )
    file, checked = toml_file.read(path), reader.load(path)
    tolerances = tolerance.from_file(file, checked)
    correlated = correlation.from_file(file, [t.parameter for t in tolerances])
    plan = Plan(checked, tolerances, correlated, sampling_from_file(file), engine)
    _check_ends(file, plan)
    return plan


def _check_ends(file: toml_file.TomlFile, plan: Plan) -> None:
    """Both ends of each tolerance must be allowed for each pair; the core says what is."""
    pairs = {(p.pedal, p.body): i for i, p in reversed(list(enumerate(plan.pairings)))}
    for one in plan.tolerances:
        for number in pairs.values():
            for value in one.distribution.reach():
                _check_end(file, plan, one, number, value)


def _check_end(file: toml_file.TomlFile, plan: Plan, one: Tolerance, number: int, value: Any) -> None:
    pairing = plan.pairing(number)
    try:
        own = Own.of(plan.study, pairing)
        case = case_of(plan.study, pairing, own, number, (one,), {one.parameter: value})
        if one.parameter.startswith("fault"):
            faults = faults_of(plan.study, pairing, (one,), {one.parameter: value})
            _core.Session(case.parameters, plan.study.stroke, faults=list(faults))
    except (_core.InvalidParameter, InputError) as error:
        where = _place_in(file, one.parameter)
        shown = f"{value:g}" if isinstance(value, float) else repr(value)
        limits = "" if one.way == "value" else f" as {one.way}"
        file.fail(
            where, f"can become {shown}{limits}, which {pairing.pedal} with {pairing.body} refuses: {error}"
        )


def _place_in(file: toml_file.TomlFile, parameter: str) -> toml_file.Place:
    """Where the tolerance of a parameter stands: one quoted key, or bare dotted ones."""
    whole = ("tolerances", parameter)
    return whole if whole in file.lines else ("tolerances", *parameter.split("."))
