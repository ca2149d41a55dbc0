# SPDX-License-Identifier: BSD-3-Clause
"""The dictionary of a diagnosis: every single fault of one pair × what would be observed of it.

The first pedal and body of the study are the pair; further ones are parts that somebody may have plugged in by
mistake. What scatters are the study's tolerances. Every case has the same noise, so that only the cause differs.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from .. import _core
from ..errors import InputError, closest
from ..files.toml_file import TomlFile
from ..pages.section import Section, Table
from ..studies.mistakes import Mishap, Mistake
from ..studies.study import Pairing, Study
from ..units import RPM
from .audit.faults import single
from .design import Design, Spec

if TYPE_CHECKING:
    import pandas as pd

#: The foot of each run: rest, half, full.
STROKE = _core.Stroke(time=[0.0, 0.8, 1.0, 1.4, 1.5, 2.6], travel=[0.0, 0.0, 0.5, 0.5, 1.0, 1.0])

#: With an engine: start and settle first.
IDLE_STROKE = _core.Stroke(time=[0.0, 8.0, 8.2, 9.5], travel=[0.0, 0.0, 0.3, 0.3])

#: Where foot and blade are, by the word for it.
STANDS: dict[str, tuple[float, str]] = {
    "rest": (0.0, "released"),
    "half": (0.5, "released"),
    "full": (1.0, "released"),
    "closed": (0.0, "closed"),
    "open": (0.0, "open"),
}

#: How much of each fault of the catalogue is in the dictionary: (place, what) → amounts. This bench's own.
AMOUNTS: dict[tuple[str, str], tuple[float, ...]] = {
    ("track", "offset"): (-0.06, 0.06),
    ("track", "gain"): (0.85, 1.15),
    ("track", "frozen"): (0.0,),
    ("body.return_spring", "scale"): (0.0,),
    ("body.opener_spring", "scale"): (0.0,),
    ("body.friction", "scale"): (6.0,),
    ("body.closed_stop", "shift"): (0.05,),
    ("body.open_stop", "shift"): (-0.2,),
    ("motor", "heat"): (120.0,),
    ("supply", "scale"): (0.6,),
    ("reference", "scale"): (0.9, 1.1),
    ("manifold", "vacuum_leak"): (40e-6,),
}

#: Learns that went wrong and may have been accepted.
LEARNS = (
    Mishap("pressed_short", 0.7),
    Mishap("foot_resting", 0.1),
    Mishap("floor_mat", 0.7),
    Mishap("deposits", 0.06),
)

#: Draws of each cause for which a learn with the fault in it is tried: few where a meter tells more.
LEARN_DRAWS = {"wiring": 1}
_LEARN_DRAWS = 4

#: Goes up with each change of what is measured, so that no older dictionary is taken for it.
EDITION = 1

#: [share of travel] that an eye sees the blade move, and by which it opens wide.
_MOVES, _OPENS = 0.015, 0.10


def fits(part: Any, other: Any) -> bool:
    """Another part whose connector has the same contacts."""
    return bool(part.terminals() == other.terminals() and part.name != other.name)


@dataclass(frozen=True)
class Diagnosis(Design):
    """Every single fault of one pair, what a meter, a code reader and the eye would observe of it.

    ``pairs``: labels of causes that are there two at a time besides."""

    pairs: tuple[str, ...] = ()

    name = "diagnosis"
    table = "diagnosis"
    columns: ClassVar[dict[str, Any]] = {"cause": "", "kind": "", "family": ""}

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Design:
        table = file.table.get("diagnosis", {})
        if not isinstance(table, dict):
            file.fail(("diagnosis",), "must be a table ([diagnosis])", table)
        file.only(("diagnosis",), table, ["pairs"])
        pairs = table.get("pairs", [])
        if not isinstance(pairs, list):
            file.fail(("diagnosis", "pairs"), "must be a list of causes", pairs)
        try:
            return cls.checked(study, solver, tuple(pairs))
        except InputError as error:
            file.fail(("diagnosis",), str(error))

    @classmethod
    def checked(cls, study: Study, solver: str = "lanes", pairs: Sequence[str] = ()) -> Diagnosis:
        """Raises :class:`InputError` where there is no dictionary."""
        made = cls(study, solver, tuple(pairs))
        if made.bench.wiring.kind == "ideal":
            raise InputError("a diagnosis needs the wiring 'harness'; this bench has 'ideal'")
        known = [spec.labels["cause"] for spec in made._singles]
        for label in pairs:
            if label not in known:
                raise InputError(f"there is no cause {label!r}{closest(str(label), known)}")
        return made

    def options(self) -> dict[str, Any]:
        return {"pairs": list(self.pairs), "edition": EDITION}

    @classmethod
    def restore(cls, study: Study, solver: str, options: Mapping[str, Any]) -> Design:
        return cls(study, solver, tuple(options["pairs"]))

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

    @property
    def signals(self) -> tuple[str, ...]:
        return ("blade.opening",)

    @property
    def rules(self) -> Sequence[_core.Rule]:
        return ()

    # Causes ---------------------------------------------------------------------------------------------------

    @cached_property
    def _singles(self) -> list[Spec]:
        pair = self._pair
        fresh = Pairing(*pair, "fresh", *pair)
        found = [_spec(fresh, "healthy", "healthy", "healthy")]
        for fault, cause, kind, family in _faults(self.bench):
            found.append(_spec(fresh, cause, kind, family, (fault,)))
        found.append(
            _spec(Pairing(*pair, "none", None, None), "no range learned", "no range learned", "learn")
        )
        for mishap in LEARNS:
            faulty = Pairing(*pair, "faulty", *pair, mistake=Mistake((mishap,)))
            found.append(_spec(faulty, f"learned with {mishap.text}", f"learn: {mishap.name}", "learn"))
        pedal, body = self.study.pedals[pair[0]], self.study.bodies[pair[1]]
        for name in [n for n, part in self.study.pedals.items() if fits(pedal, part)]:
            stale = Pairing(name, pair[1], "stale", *pair)
            found.append(_spec(stale, f"pedal '{name}' is plugged in", "another pedal", "part"))
        for name in [n for n, part in self.study.bodies.items() if fits(body, part)]:
            stale = Pairing(pair[0], name, "stale", *pair)
            found.append(
                _spec(stale, f"throttle body '{name}' is plugged in", "another throttle body", "part")
            )
        return found

    @cached_property
    def specs(self) -> Sequence[Spec]:
        named = {spec.labels["cause"]: spec for spec in self._singles}
        both = [_both(named[a], named[b]) for a, b in itertools.combinations(self.pairs, 2)]
        return [*self._singles, *(spec for spec in both if spec is not None)]

    # Observations ---------------------------------------------------------------------------------------------

    @cached_property
    def volts(self) -> list[tuple[str, str]]:
        """(point, stand) of each reading of a voltage: the foot moves the pedal's, a hand the blade's."""
        found = []
        for point in _core.meter_points(self.bench):
            stands = ("rest",)
            if "signal" in point:
                stands = ("rest", "half", "full") if "pedal" in point else ("rest", "closed", "open")
            found += [(point, stand) for stand in stands]
        return found

    @cached_property
    def ohms(self) -> list[tuple[str, str]]:
        """Pairs between which a resistance is read, everything unplugged."""
        bench = self.bench
        joints = bench.wiring.pin_out or _core.correct_pin_out(bench.pedal, bench.body)
        found = [(j.terminal, f"{'lead' if j.pin.startswith('motor') else 'pin'} {j.pin}") for j in joints]
        found += [("controller supply", "battery"), ("controller ground", "ground")]
        terminals = _core.pair_terminals(bench.pedal, bench.body)
        for _, name in terminals:
            found += [(name, "ground"), (name, "battery")]
        for (connector, a), (other, b) in itertools.combinations(terminals, 2):
            if connector == other:
                found.append((a, b))
        return found

    def empty(self) -> dict[str, Any]:
        found = super().empty() | {"key_on": "", "follows": "", "refusal": "", "idle_rpm": math.nan}
        found |= {volt_name(*place): math.nan for place in self.volts}
        return found | {ohm_name(*pair): math.nan for pair in [*self.ohms, WINDING]}

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        result = ran.result
        assert result is not None
        row = super().measure(spec, case, learned, ran)
        row["codes"] = " ".join(dict.fromkeys(code.code for code in result.codes))
        row |= {"key_on": _key_on(result.record["blade.opening"]), "follows": result.answer}
        row["refusal"] = self._refusal(spec, case)
        if result.idle is not None:
            row["idle_rpm"] = result.idle.speed / RPM
        return row | self._meter(case)

    def _refusal(self, spec: Spec, case: _core.Case) -> str:
        """What a learn that is tried now would say; empty: not tried in this draw."""
        if case.parameters.case_number // len(self.specs) >= LEARN_DRAWS.get(
            spec.labels["family"], _LEARN_DRAWS
        ):
            return ""
        tried = _core.learn(case.parameters, faults=case.faults_of_run)
        return "accepted" if tried.accepted else tried.refusal

    def _meter(self, case: _core.Case) -> dict[str, float]:
        bench, faults = case.parameters, case.faults_of_run
        volts = _core.standing_volts(bench, faults=faults, stands=list(STANDS.values()))
        rows, points = list(STANDS), _core.meter_points(bench)
        column = {name: k for k, name in enumerate(points)}
        found = {
            volt_name(point, stand): float(volts[rows.index(stand), column[point]])
            for point, stand in self.volts
        }
        ohms = _core.unplugged_ohms(bench, faults=faults, pairs=self.ohms)
        (winding,) = _core.unplugged_ohms(bench, faults=faults, pairs=[WINDING], motor=True)
        found |= {ohm_name(*pair): float(value) for pair, value in zip(self.ohms, ohms, strict=True)}
        return found | {ohm_name(*WINDING): float(winding)}

    # What is told ---------------------------------------------------------------------------------------------

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


#: Between the free ends of the motor's leads, the motor plugged in.
WINDING = ("lead motor +", "lead motor -")


def volt_name(point: str, stand: str) -> str:
    """The column of a voltage against the ground."""
    return f"V {point} @ {stand}"


def ohm_name(a: str, b: str) -> str:
    """The column of a resistance."""
    return f"ohm {a} | {b}"


def _spec(pairing: Pairing, cause: str, kind: str, family: str, faults: tuple[_core.Fault, ...] = ()) -> Spec:
    return Spec(pairing, {"cause": cause, "kind": kind, "family": family}, faults, noise=0)


def _both(a: Spec, b: Spec) -> Spec | None:
    """Two faults together; ``None`` for two at one place, which cannot be."""
    places = [(fault.where, fault.what) for fault in (*(a.faults or ()), *(b.faults or ()))]
    if a.pairing != b.pairing or not a.faults or not b.faults or len(set(places)) < 2:
        return None
    labels = {
        "cause": f"{a.labels['cause']} and {b.labels['cause']}",
        "kind": "two faults",
        "family": "two faults",
    }
    return Spec(a.pairing, labels, (*a.faults, *b.faults), noise=0)


def _faults(bench: _core.BenchParameters) -> list[tuple[_core.Fault, str, str, str]]:
    """(fault from key-on, cause, kind, family) of each fault a bench can have."""
    tracks = {"pedal": len(bench.pedal.tracks), "throttle": len(bench.body.tracks)}
    found = []
    for kind in _core.fault_catalogue():
        assembly, _, track = kind.where.partition(".track")
        place = "track" if track else kind.where
        if (track and int(track) > tracks[assembly]) or (kind.where == "manifold" and bench.engine is None):
            continue
        family = "track" if track else "mechanics" if kind.where.startswith(("body", "motor")) else "supply"
        for amount in AMOUNTS.get((place, kind.what), ()):
            one = single(kind, amount)
            found.append((one.at(0.0), one.label, one.kind, family))
    for fault in _core.every_single_wiring_fault(bench.pedal, bench.body):
        found.append((fault, fault.text, f"wiring: {fault.what.replace('_', ' ')}", "wiring"))
    return found


def _key_on(opening: Any) -> str:
    """What the blade did after key-on, the foot off: ``opening`` of the whole run."""
    first = opening[: round(0.25 * len(opening))]
    if first.max() - first[0] > _OPENS:
        return "opens"
    if abs(first - first[0]).max() < _MOVES:
        return "still"
    return "moves"
