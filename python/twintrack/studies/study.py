# SPDX-License-Identifier: BSD-3-Clause
"""Study files: which pedals meet which throttle bodies, in which learn state, on what bench.

A study is TOML with quantities as text (``supply = "12.6 V"``). ``examples/pairing.toml`` teaches the format.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from .. import _core
from ..errors import listing
from .disturbed_learns import DisturbedLearn
from .own_controller import Factory, OwnController

LEARN_STATES = ("none", "stale", "fresh")


@dataclass(frozen=True)
class Pairing:
    """One case to run: what is plugged in, and what was learned with (``None``: never learned)."""

    pedal: str
    body: str
    learn: str
    learned_pedal: str | None
    learned_body: str | None
    fault: _core.Fault | None = None  # one of the wiring, in a study of every single one
    disturbed_learn: DisturbedLearn | None = None  # disturbance of the learn, when ``learn`` is "faulty"

    @property
    def label(self) -> str:
        """Short text that no other case of the study has; also the stem of its trace file."""
        text = f"{self.pedal}--{self.body}--{self.learn}"
        if self.learn == "stale":
            swapped = self.learned_pedal if self.learned_pedal != self.pedal else self.learned_body
            text += f"-{swapped}"
        if self.disturbed_learn is not None:
            text += f"-{self.disturbed_learn.text}"
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
    learn: tuple[str | DisturbedLearn, ...]
    bench: dict[str, Any]
    stroke: _core.Stroke
    faults: tuple[_core.Fault, ...]
    rules: tuple[_core.Rule, ...] = ()
    brake: _core.Stroke | None = None  # how hard the driver brakes; None: there is no brake
    every_fault_from: float | None = None  # [s]; else each pair also with each single wiring fault
    hazard: tuple[float | None, float | None] = (None, None)  # opening [share of travel], time [s]
    units: dict[str, OwnController] = field(default_factory=dict)  # by role; no file names one

    @property
    def unit(self) -> OwnController | None:
        """In place of the built-in controller."""
        return self.units.get("controller")

    @property
    def own(self) -> dict[str, Factory | _core.SharedController | None]:
        """Factories of controller and monitor of one's own, as a run takes them; None: the built-in one."""
        return {
            role: self.units[role].made() if role in self.units else None
            for role in ("controller", "monitor")
        }

    @property
    def own_learn(self) -> Factory | _core.SharedController | None:
        """The same of the range learn."""
        return self.units["learn"].made() if "learn" in self.units else None

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

    def _pairings(self, state: str | DisturbedLearn) -> Iterator[Pairing]:
        for pedal in self.pedals:
            for body in self.bodies:
                if isinstance(state, DisturbedLearn):
                    yield Pairing(pedal, body, "faulty", pedal, body, disturbed_learn=state)
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
        if pairing.disturbed_learn and pairing.disturbed_learn.limits:
            parameters = parameters.replace({"learn": _core.learn_parameters(pairing.disturbed_learn.limits)})
        return parameters

    def case(
        self,
        pairing: Pairing,
        number: int,
        bench: _core.BenchParameters | None = None,
        faults: Sequence[_core.Fault] | None = None,
        *,
        stroke: _core.Stroke | None = None,
        hazard: tuple[float, float] | None = None,
    ) -> _core.Case:
        """The case as the core runs it; what is given in place of the study's own."""
        disturbed_learn = pairing.disturbed_learn or DisturbedLearn(())
        own = [*self.faults, *([pairing.fault] if pairing.fault else [])]
        return _core.Case(
            parameters=bench or self.bench_of(pairing, number),
            learn="fresh" if pairing.disturbed_learn else pairing.learn,
            learn_pedal=self.pedals[pairing.learned_pedal] if pairing.learned_pedal else None,
            learn_body=self.bodies[pairing.learned_body] if pairing.learned_body else None,
            stroke=stroke or self.stroke,
            faults=own if faults is None else list(faults),
            disturbances=disturbed_learn.core,
            disturbances_stay=disturbed_learn.stays,
            brake=self.brake,
            hazard=hazard,
        )
