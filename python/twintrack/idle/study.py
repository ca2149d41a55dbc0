# SPDX-License-Identifier: BSD-3-Clause
"""What the maps of an idle are drawn over, and what they hold: a study with its table ``[idle]``."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError
from ..files import toml_file
from ..files.toml_file import Place, TomlFile
from ..studies import reader as studies
from ..studies.study import Study
from ..units import quantity

if TYPE_CHECKING:
    import pandas as pd


#: The foot of a run of a map [s], [share of travel]: rest until the idle's codes would come, tip in, return.
STROKE = _core.Stroke(time=[0.0, 13.0, 13.3, 14.3, 14.5, 19.0], travel=[0.0, 0.0, 0.2, 0.2, 0.0, 0.0])


#: What goes wrong in a learn, from hardly to badly: name, place, mildest and worst amount (None: no degrees).
MISHAPS: tuple[tuple[str, str, tuple[float, float] | None], ...] = (
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


@dataclass(frozen=True)
class IdleStudy:
    """A study whose pairs are mapped: ``mismatch`` [share of a track's range] either way in ``steps`` steps,
    mishaps in ``severities`` degrees."""

    study: Study
    mismatch: float = 0.20
    steps: int = 21
    severities: int = 6

    @property
    def offsets(self) -> list[float]:
        """The mismatches of a track, 0 among them."""
        half = self.steps // 2
        return [self.mismatch * (k - half) / half for k in range(self.steps)]


@dataclass(frozen=True)
class IdleMaps:
    """What the runs gave: ``mismatch`` one row a pair, assembly and mismatch of its tracks; ``mishaps`` one
    row a pair, strictness, mishap and degree (0 mildest)."""

    source: IdleStudy
    mismatch: pd.DataFrame
    mishaps: pd.DataFrame
    interrupted: bool


def load(path: str | Path) -> IdleStudy:
    """Reads and checks a study with its table ``[idle]``, which may be absent."""
    file = toml_file.read(path)
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
    study = studies.load(path)
    if study.engine is None:
        file.fail((), "the study has no engine: write scenario = 'idle', or name one in [bench]")
    return IdleStudy(study, **values)


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


def bench(source: IdleStudy, pedal: str, body: str) -> _core.BenchParameters:
    """The bench of one pair as its maps run it: no load, key on to the end, recorded every 10 ms."""
    parameters = source.study.parameters(pedal, body, 0)
    calm = {"accessory_from": 0.0, "accessory_to": 0.0, "key_off": None}
    if parameters.engine is None:
        raise InputError("the study has no engine")
    engine = parameters.engine.replace({f"course.{key}": value for key, value in calm.items()})
    period = parameters.control_period * max(1, round(0.01 / parameters.control_period))
    return parameters.replace({"engine": engine, "record_period": period})
