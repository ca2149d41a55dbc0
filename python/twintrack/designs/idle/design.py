# SPDX-License-Identifier: BSD-3-Clause
"""Maps of an idle: engine speed against tracks that do not match what was learned, and against disturbed
learns. The table ``[idle]`` of a study says how far and how finely."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from ... import _core
from ...errors import InputError
from ...files.toml_file import Place, TomlFile
from ...pages import severity
from ...pages.section import Section
from ...studies.disturbed_learns import DisturbedLearn, LearnDisturbance
from ...studies.study import Pairing, Study
from ...units import RPM, quantity
from ..design import Design, Spec
from . import sections

if TYPE_CHECKING:
    import pandas as pd

#: The foot of a run of a map [s], [share of travel]: rest until the idle's codes would come, tip in, return.
STROKE = _core.Stroke(time=[0.0, 13.0, 13.3, 14.3, 14.5, 19.0], travel=[0.0, 0.0, 0.2, 0.2, 0.0, 0.0])

#: Learn disturbances: name, place, least and largest amount (None: takes no amount).
DISTURBANCES: tuple[tuple[str, str, tuple[float, float] | None], ...] = (
    ("pressed_short", "", (0.97, 0.4)),
    ("pressed_once", "", None),
    ("not_released", "", (0.02, 0.5)),
    ("floor_mat", "", (0.97, 0.5)),
    ("foot_resting", "", (0.01, 0.3)),
    ("lifted_late", "", (0.01, 0.3)),
    ("deposits", "", (0.005, 0.15)),
    ("blocked_short", "", (0.02, 0.6)),
    ("sticky_blade", "", (1.2, 6.0)),
    ("weak_return", "", (0.9, 0.0)),
    ("winding_heat", "", (20.0, 160.0)),
    ("low_supply", "", (0.9, 0.4)),
    ("sagging_supply", "", (0.9, 0.3)),
    ("noisy_track", "throttle.track1", (0.001, 0.05)),
    ("noisy_track", "pedal.track1", (0.001, 0.05)),
    ("tracks_exchanged", "throttle", None),
    ("tracks_exchanged", "pedal", None),
    ("leads_reversed", "", None),
    ("interrupted", "", (20.0, 1.0)),
    ("key_turned_off", "", (20.0, 1.0)),
    ("engine_turns", "", (20.0, 0.0)),
)

#: How strict the learn's own checks are, one map each.
STRICTNESS = ("default", "careless")

ASSEMBLIES = ("throttle", "pedal")

_BAND = (-100.0 * RPM, 200.0 * RPM)  # 13 CCR 1968.2, second hand
_HUNTING = 50.0 * RPM


@dataclass(frozen=True)
class Idle(Design):
    """A grid of track mismatches, and learn disturbances × degrees × strictness, of each pair.

    ``mismatch`` [share of a track's range] either way in ``steps`` steps."""

    mismatch: float = 0.20
    steps: int = 21
    severities: int = 6

    name = "idle maps"
    table = "idle"
    columns: ClassVar[dict[str, Any]] = {
        "assembly": "",
        **dict.fromkeys(("track1", "track2", "track3"), float("nan")),
        "strictness": "",
        "disturbance": "",
        "where": "",
        "degree": 0,
        "amount": float("nan"),
    }

    @classmethod
    def read(cls, file: TomlFile, study: Study, solver: str) -> Design:
        table = file.table.get("idle", {})
        if not isinstance(table, dict):
            file.fail(("idle",), "must be a table ([idle])", table)
        file.only(("idle",), table, ["mismatch", "steps", "severities"])
        values: dict[str, Any] = {}
        if "mismatch" in table:
            values["mismatch"] = _share(file, ("idle", "mismatch"), table["mismatch"])
        for key, least, most in (("steps", 3, 101), ("severities", 2, 20)):
            if key in table:
                values[key] = _whole(file, ("idle", key), table[key], least, most)
        if values.get("steps", 3) % 2 == 0:
            file.fail(("idle", "steps"), "must be odd, so that no mismatch is among them", table["steps"])
        if study.engine is None:
            file.fail((), "the study has no engine: write scenario = 'idle', or name one in [bench]")
        return cls(study, solver, **values)

    def options(self) -> dict[str, Any]:
        return {"mismatch": self.mismatch, "steps": self.steps, "severities": self.severities}

    @property
    def stroke(self) -> _core.Stroke:
        return STROKE

    @property
    def rules(self) -> Sequence[_core.Rule]:
        return ()

    @cached_property
    def changes(self) -> Mapping[str, Mapping[str, Any]]:
        """No load, key on to the end, recorded every 10 ms."""
        engine, study = self.study.engine, self.study
        assert engine is not None
        calm = {"accessory_from": 0.0, "accessory_to": 0.0, "key_off": None}
        period = study.parameters(next(iter(study.pedals)), next(iter(study.bodies)), 0).control_period
        changed = engine.replace({f"course.{key}": value for key, value in calm.items()})
        return {"": {"engine": changed, "record_period": period * max(1, round(0.01 / period))}}

    @property
    def offsets(self) -> list[float]:
        """The mismatches of a track, 0 among them."""
        half = self.steps // 2
        return [self.mismatch * (k - half) / half for k in range(self.steps)]

    @cached_property
    def specs(self) -> Sequence[Spec]:
        pairs = itertools.product(self.study.pedals, self.study.bodies)
        return [s for p, b in pairs for s in (*self._mismatches(p, b), *self._disturbances(p, b))]

    def _mismatches(self, pedal: str, body: str) -> Iterator[Spec]:
        pairing = Pairing(pedal, body, "fresh", pedal, body)
        for assembly in ASSEMBLIES:
            part = self.study.bodies[body] if assembly == "throttle" else self.study.pedals[pedal]
            shares: list[tuple[float, ...]] = list(itertools.product(self.offsets, repeat=2))
            if len(part.tracks) == 3:
                shares += [(0.0, 0.0, share) for share in self.offsets if share != 0.0]
            for chosen in shares:
                labels = {f"track{k}": share for k, share in enumerate((*chosen, 0.0)[:3], 1)}
                faults = mismatch_faults(assembly, part.tracks, chosen)
                yield Spec(pairing, {"assembly": assembly, **labels}, tuple(faults), noise=0)

    def _disturbances(self, pedal: str, body: str) -> Iterator[Spec]:
        degrees = self.severities
        for strictness, (name, where, span) in itertools.product(STRICTNESS, DISTURBANCES):
            for degree in range(degrees if span else 1):
                amount = span and span[0] + (span[1] - span[0]) * degree / (degrees - 1)
                disturbed_learn = DisturbedLearn((LearnDisturbance(name, amount, where),), strictness)
                labels = {"strictness": strictness, "disturbance": name, "where": where, "degree": degree}
                if amount is not None:
                    labels["amount"] = amount
                pairing = Pairing(pedal, body, "faulty", pedal, body, disturbed_learn=disturbed_learn)
                yield Spec(pairing, labels, (), noise=0)

    def measure(self, spec: Spec, case: _core.Case, learned: Any, ran: _core.Ran) -> dict[str, Any]:
        row = super().measure(spec, case, learned, ran)
        assert ran.result is not None
        idle = ran.result.idle
        assert idle is not None
        good = idle.started and not idle.stalls and _BAND[0] <= idle.deviation <= _BAND[1]
        response = "right" if good and not idle.hunting > _HUNTING else "wrong"
        if idle.finding == "wrong":
            response = "wrong"
        refused = not learned.accepted
        detected = bool(ran.result.codes) or refused
        faulty = bool(spec.faults) or spec.pairing.learn == "faulty"
        hazard = idle.finding == "dangerous"
        return row | severity.rate(response, hazard, faulty, detected, row["reaction"], refused)

    def headline(self, table: pd.DataFrame) -> str:
        return sections.headline(table)

    def tally(self, table: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
        return sections.HEAD, sections.tally(table)

    def sections(self, result: Any, table: pd.DataFrame) -> list[Section]:
        return sections.sections(self, result, table)


def mismatch_faults(assembly: str, tracks: Any, shares: tuple[float, ...]) -> list[_core.Fault]:
    """Each track reads so much of its range too high (toward open, toward pressed) from the start."""
    return [
        _core.Fault(
            where=f"{assembly}.track{k}", what="offset", amount=share * (track.ratio[-1] - track.ratio[0])
        )
        for k, (track, share) in enumerate(zip(tracks, shares, strict=False), 1)
        if share != 0.0
    ]


def _share(file: TomlFile, place: Place, value: Any) -> float:
    try:
        share = quantity(value, "")
    except InputError as error:
        file.fail(place, str(error), value)
    if not 0.0 < share <= 0.5:
        file.fail(place, "must be above 0 and at most 50 % of a track's range", value)
    return share


def _whole(file: TomlFile, place: Place, value: Any, least: int, most: int) -> int:
    if type(value) is not int or not least <= value <= most:
        file.fail(place, f"must be a whole number from {least} to {most}", value)
    return value
