# SPDX-License-Identifier: BSD-3-Clause
"""The maps of an idle: engine speed and finding against tracks that do not match what was learned, and
against learns in which something went wrong. Everything on them is drawn from runs.
"""

from __future__ import annotations

import itertools
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import _core, files, idle_table
from . import study as studies
from .errors import InputError
from .pool import Pool
from .study import Study
from .toml_file import Place, TomlFile
from .units import quantity

if TYPE_CHECKING:
    import pandas as pd

#: The foot of one run of a map [s], [share of travel]: settle, tip in, return.
STROKE = _core.Stroke(time=[0.0, 8.0, 8.3, 9.3, 9.5, 14.0], travel=[0.0, 0.0, 0.2, 0.2, 0.0, 0.0])

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
    from . import toml_file

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


def mismatch_faults(assembly: str, tracks: Any, shares: tuple[float, ...]) -> list[_core.Fault]:
    """Each track reads so much of its range too high (toward open, toward pressed) from the start."""
    return [
        _core.Fault(
            where=f"{assembly}.track{k}", what="offset", amount=share * (track.ratio[-1] - track.ratio[0])
        )
        for k, (track, share) in enumerate(zip(tracks, shares, strict=False), 1)
        if share != 0.0
    ]


def run(source: IdleStudy, out: str | Path, *, jobs: int | None = None, progress: bool = True) -> IdleMaps:
    """Runs the maps of every pair; ``out`` gets ``idle.html``, two pictures, and the tables ``idle_mismatch``
    and ``idle_mishaps`` (Parquet and CSV). Ctrl-C keeps what is finished."""
    from . import idle_page

    out = Path(out)
    with files.stage(out) as stage:
        pool = Pool(jobs or os.cpu_count() or 1, progress)
        maps = _run(source, pool)
        files.write_table(maps.mismatch, stage, "idle_mismatch")
        files.write_table(maps.mishaps, stage, "idle_mishaps")
        idle_page.write(maps, stage)
        files.publish(stage, out, [])
    return maps


def _run(source: IdleStudy, pool: Pool) -> IdleMaps:
    import pandas as pd

    pairs = list(itertools.product(source.study.pedals, source.study.bodies))
    learned = pool.map("learns", lambda i: {"result": _learn(source, *pairs[i])}, len(pairs))
    offsets: list[Callable[[], dict[str, Any]]] = []
    mishaps: list[Callable[[], dict[str, Any]]] = []
    for pair, known in zip(pairs, learned, strict=True):
        if known is not None:
            offsets += _mismatch_work(source, pair, known["result"])
            mishaps += _mishap_work(source, pair)
    first = pool.map("mismatches", lambda i: offsets[i](), len(offsets))
    second = pool.map("mishaps", lambda i: mishaps[i](), len(mishaps))
    tables = [pd.DataFrame([row for row in rows if row is not None]) for rows in (first, second)]
    return IdleMaps(source, tables[0], tables[1], pool.interrupted)


def _learn(source: IdleStudy, pedal: str, body: str) -> Any:
    result = _core.run_learn(_core.Case(parameters=source.study.parameters(pedal, body, 0))).result
    if not result.accepted:
        raise InputError(f"{pedal} with {body}: the range learn was refused: {result.reason}")
    return result


def _mismatch_work(source: IdleStudy, pair: tuple[str, str], learned: Any) -> list[Callable[[], Any]]:
    parameters = bench(source, *pair)
    work = []
    for assembly in ASSEMBLIES:
        part = parameters.body if assembly == "throttle" else parameters.pedal
        shares: list[tuple[float, ...]] = list(itertools.product(source.offsets, repeat=2))
        if len(part.tracks) == 3:
            shares += [(0.0, 0.0, share) for share in source.offsets if share != 0.0]
        for chosen in shares:
            faults = mismatch_faults(assembly, part.tracks, chosen)
            case = _core.Case(parameters=parameters, stroke=STROKE, faults=faults)
            what = {"assembly": assembly} | {
                f"track{k}": share for k, share in enumerate((*chosen, 0.0)[:3], 1)
            }
            work.append(_later(pair, what, case, learned))
    return work


def _mishap_work(source: IdleStudy, pair: tuple[str, str]) -> list[Callable[[], Any]]:
    parameters, work = bench(source, *pair), []
    degrees = source.severities
    for strictness, (name, where, span) in itertools.product(STRICTNESS, MISHAPS):
        for degree in range(degrees if span else 1):
            amount = span and span[0] + (span[1] - span[0]) * degree / (degrees - 1)
            mishap = _core.Mishap(name=name, amount=amount, where=where)
            what = {
                "strictness": strictness,
                "mishap": name,
                "where": where,
                "degree": degree,
                "amount": amount,
            }
            work.append(_faulty(pair, what, parameters, mishap))
    return work


def _faulty(pair: tuple[str, str], what: dict[str, Any], parameters: Any, mishap: Any) -> Callable[[], Any]:
    def work() -> dict[str, Any]:
        learned = _core.learn(parameters, mishaps=[mishap], strictness=what["strictness"]).result
        found: dict[str, Any] = _later(
            pair, what, _core.Case(parameters=parameters, stroke=STROKE), learned
        )()
        return found

    return work


def _later(pair: tuple[str, str], what: dict[str, Any], case: Any, learned: Any) -> Callable[[], Any]:
    def work() -> dict[str, Any]:
        result = _core.run_case(case, learned=learned)
        return (
            {"pedal": pair[0], "body": pair[1]}
            | what
            | idle_table.columns(result.idle)
            | {
                "answer": result.answer,
                "learn_accepted": result.learn_accepted,
                "learn_reason": result.learn_reason,
                "codes": " ".join(code.text for code in result.codes),
                "status": result.outcome.status,
            }
        )

    return work
