# SPDX-License-Identifier: BSD-3-Clause
"""Study files: which pedals meet which throttle bodies, in which learn state, on what bench.

A study is TOML with quantities as text (``supply = "12.6 V"``). ``examples/pairing.toml`` teaches the format.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from . import _core, bench_table, mistakes, parts, rulebook, scenario, toml_file
from .errors import closest, listing
from .mistakes import Mistake
from .toml_file import TomlFile

LEARN_STATES = ("none", "stale", "fresh")
TRACES = ("interesting", "all", "none")


@dataclass(frozen=True)
class Pairing:
    """One case to run: what is plugged in, and what was learned with (``None``: never learned)."""

    pedal: str
    body: str
    learn: str
    learned_pedal: str | None
    learned_body: str | None
    fault: _core.Fault | None = None  # one of the wiring, in a study of every single one
    mistake: Mistake | None = None  # what went wrong during the learn, when ``learn`` is "faulty"

    @property
    def label(self) -> str:
        """Short text that no other case of the study has; also the stem of its trace file."""
        text = f"{self.pedal}--{self.body}--{self.learn}"
        if self.learn == "stale":
            swapped = self.learned_pedal if self.learned_pedal != self.pedal else self.learned_body
            text += f"-{swapped}"
        if self.mistake is not None:
            text += f"-{self.mistake.text}"
        return text if self.fault is None else f"{text}--{_short(self.fault)}"


def _short(fault: _core.Fault) -> str:
    amount = f" {fault.amount:g}" if fault.amount else ""
    return " ".join(filter(None, [fault.where, fault.what, fault.other])) + amount


@dataclass(frozen=True)
class Study:
    """A checked study: every part is loaded and every value is in range."""

    title: str
    path: Path
    pedals: dict[str, Any]
    bodies: dict[str, Any]
    learn: tuple[str | Mistake, ...]
    bench: dict[str, Any]
    stroke: _core.Stroke
    faults: tuple[_core.Fault, ...]
    traces: str
    rules: tuple[_core.Rule, ...] = ()
    every_fault_from: float | None = None  # [s]; else each pair also with each single wiring fault

    def remarks(self) -> list[str]:
        """What is odd about the pin-out, with the pairs it is odd for; it is simulated all the same."""
        found: dict[str, list[str]] = {}
        for pedal in self.pedals:
            for body in self.bodies:
                for remark in _core.remarks(self.parameters(pedal, body, 0)):
                    found.setdefault(remark, []).append(f"{pedal} with {body}")
        return [f"{remark} ({listing(pairs)})" for remark, pairs in found.items()]

    @property
    def engine(self) -> _core.EngineSetup | None:
        """What is behind the throttle, if anything."""
        engine: _core.EngineSetup | None = self.bench.get("engine")
        return engine

    @property
    def seed(self) -> int:
        return int(self.parameters(next(iter(self.pedals)), next(iter(self.bodies)), 0).seed)

    def parameters(self, pedal: str, body: str, number: int) -> _core.BenchParameters:
        """The bench of one case; ``number`` selects its noise."""
        return _core.BenchParameters(
            pedal=self.pedals[pedal], body=self.bodies[body], case_number=number, **self.bench
        )

    def pairings(self) -> list[Pairing]:
        """All cases in order: by learn state, then pedal, then body, what was learned with, fault."""
        pairs = [p for state in self.learn for p in self._pairings(state)]
        return [case for pair in pairs for case in self._with_faults(pair)]

    def _with_faults(self, pair: Pairing) -> list[Pairing]:
        if self.every_fault_from is None:
            return [pair]
        faults = _core.every_single_wiring_fault(
            self.pedals[pair.pedal], self.bodies[pair.body], start=self.every_fault_from
        )
        return [pair, *(replace(pair, fault=fault) for fault in faults)]

    @property
    def states(self) -> list[str]:
        """The learn states in words."""
        return [state if isinstance(state, str) else state.text for state in self.learn]

    def _pairings(self, state: str | Mistake) -> Iterator[Pairing]:
        for pedal in self.pedals:
            for body in self.bodies:
                if isinstance(state, Mistake):
                    yield Pairing(pedal, body, "faulty", pedal, body, mistake=state)
                elif state == "none":
                    yield Pairing(pedal, body, state, None, None)
                elif state == "fresh":
                    yield Pairing(pedal, body, state, pedal, body)
                else:
                    yield from (Pairing(pedal, body, state, p, body) for p in self.pedals if p != pedal)
                    yield from (Pairing(pedal, body, state, pedal, b) for b in self.bodies if b != body)

    def bench_of(self, pairing: Pairing, number: int) -> _core.BenchParameters:
        """The bench of a case, with the limits of its learn."""
        parameters = self.parameters(pairing.pedal, pairing.body, number)
        if pairing.mistake and pairing.mistake.limits:
            parameters = parameters.replace({"learn": _core.learn_parameters(pairing.mistake.limits)})
        return parameters

    def case(
        self,
        pairing: Pairing,
        number: int,
        bench: _core.BenchParameters | None = None,
        faults: Sequence[_core.Fault] | None = None,
    ) -> _core.Case:
        """The case as the core runs it; ``bench`` and ``faults`` in place of the study's own."""
        mistake = pairing.mistake or Mistake(())
        own = [*self.faults, *([pairing.fault] if pairing.fault else [])]
        return _core.Case(
            parameters=bench or self.bench_of(pairing, number),
            learn="fresh" if pairing.mistake else pairing.learn,
            learn_pedal=self.pedals[pairing.learned_pedal] if pairing.learned_pedal else None,
            learn_body=self.bodies[pairing.learned_body] if pairing.learned_body else None,
            stroke=self.stroke,
            faults=own if faults is None else list(faults),
            mishaps=mistake.core,
            mishaps_stay=mistake.stays,
        )


def load(path: str | Path) -> Study:
    """Reads and checks a study file; raises :class:`~twintrack.errors.InputError` at the first mistake."""
    file = toml_file.read(path)
    known = [
        "title",
        "scenario",
        "pedals",
        "bodies",
        "learn",
        "stroke",
        "traces",
        "bench",
        "faults",
        "faults_from",
        "rule_sets",
        "rules",
        "audit",  # read by the module audit
        "tolerances",  # these three by the subpackage campaigns
        "correlated",
        "sampling",
        "idle",  # read by the module idle_map
    ]
    file.only((), file.table, known)
    title = file.table.get("title", file.path.stem)
    if not isinstance(title, str):
        file.fail(("title",), "must be text", title)
    pedals = _parts(file, "pedals", "pedal", parts.pedals())
    bodies = _parts(file, "bodies", "body", parts.bodies())
    every = scenario.every_fault_from(file)
    learn = _learn(file, len(pedals) + len(bodies), LEARN_STATES if every is None else ("fresh",))
    traces = file.table.get("traces", "interesting")
    if traces not in TRACES:
        file.fail(("traces",), f"must be one of {listing(TRACES)}", traces)
    stroke, faults = scenario.stroke(file), scenario.faults(file)
    rules = rulebook.from_file(file)
    bench = bench_table.from_study(file, scenario.is_idle(file))
    study = Study(title, file.path, pedals, bodies, learn, bench, stroke, faults, traces, rules, every)
    _check_wiring(file, study)
    mistakes.check(file, study)
    return study


def _check_wiring(file: TomlFile, study: Study) -> None:
    """Pin-outs and places of wiring faults are names of terminals, which not every pair has."""
    wiring = study.bench.get("wiring", _core.WiringParameters())
    kinds = {kind.what for kind in _core.wiring_fault_kinds()}
    faults = [(i, fault) for i, fault in enumerate(study.faults) if fault.what in kinds]
    if study.every_fault_from is not None and wiring.kind == "ideal":
        file.fail(("faults",), "faults of the wiring need the wiring 'harness'; [bench.wiring] says 'ideal'")
    for pedal, body in itertools.product(study.pedals, study.bodies):
        try:
            _core.pin_out_remarks(wiring.pin_out, study.pedals[pedal], study.bodies[body])
        except _core.InvalidParameter as error:
            file.fail(("bench", "wiring", "pin_out"), f"{pedal} with {body}: {error}")
        for i, fault in faults:
            try:
                _core.Session(study.parameters(pedal, body, 0), study.stroke, faults=[fault])
            except _core.InvalidParameter as error:
                file.fail(("faults", i), f"{pedal} with {body}: {str(error).removeprefix('faults: ')}")


def _names(file: TomlFile, key: str, default: list[str]) -> list[str]:
    names = file.table.get(key, default)
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        file.fail((key,), "must be a list of texts", names if isinstance(names, str) else None)
    if not names:
        file.fail((key,), "the list is empty; name at least one")
    for name in names:
        if names.count(name) > 1:
            file.fail((key,), f"{name!r} stands in the list twice, which makes the same cases twice")
    return names


def _parts(file: TomlFile, key: str, kind: str, known: dict[str, Any]) -> dict[str, Any]:
    names = _names(file, key, ["all"])
    found: dict[str, Any] = {}
    for name in names:
        for part in _resolve(file, key, kind, name, known):
            if part.name in found:
                file.fail(
                    (key,),
                    f"{kind} {part.name!r} is named twice (by {name!r}), which makes the same cases twice",
                )
            found[part.name] = part
    return found


def _resolve(file: TomlFile, key: str, kind: str, name: str, known: dict[str, Any]) -> list[Any]:
    if name == "all":
        return list(known.values())
    if name in known:
        return [known[name]]
    if not name.endswith(".toml"):
        file.fail(
            (key,),
            f"there is no {kind} {name!r}{closest(name, known)} "
            f"(there are: {listing(known)}; or 'all', or the path of a part file ending in .toml)",
        )
    found, part = parts.load(file.path.parent / name)
    if found != kind:
        file.fail((key,), f"{name!r} is a {found}, not a {kind}")
    return [part]


def _learn(file: TomlFile, part_count: int, usual: tuple[str, ...]) -> tuple[str | Mistake, ...]:
    swappable = part_count > 2
    entries = file.table.get("learn")
    if isinstance(entries, list) and any(isinstance(entry, dict) for entry in entries):
        states: list[str | Mistake] = [_state(file, entry, i) for i, entry in enumerate(entries)]
    else:
        names = _names(file, "learn", [state for state in usual if swappable or state != "stale"])
        states = [_state(file, name, i) for i, name in enumerate(names)]
    for state in states:
        if states.count(state) > 1:
            file.fail(
                ("learn",), f"{_word(state)!r} stands in the list twice, which makes the same cases twice"
            )
    if "stale" in states and not swappable:
        file.fail(("learn",), "'stale' needs a second pedal or a second body to learn with before the swap")
    return tuple(states)


def _word(state: str | Mistake) -> str:
    return state if isinstance(state, str) else state.text


def _state(file: TomlFile, entry: Any, i: int) -> str | Mistake:
    """One entry of ``learn``: a learn state, or a learn during which something goes wrong."""
    if isinstance(entry, str) and entry not in mistakes.KINDS:
        if entry in LEARN_STATES:
            return entry
        file.fail(
            ("learn",),
            f"{entry!r} is no learn state{closest(entry, [*LEARN_STATES, *mistakes.KINDS])} "
            f"(there are: {listing(LEARN_STATES)}; or a mishap during the learn: {listing(mistakes.KINDS)})",
        )
    return mistakes.from_file(file, entry, ("learn", i))
