# SPDX-License-Identifier: BSD-3-Clause
"""Study files read and checked: the first error is named with its line, key, value and what is allowed."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

from .. import _core
from ..errors import closest, listing
from ..files import toml_file
from ..files.toml_file import TomlFile
from ..parts import catalogue as parts
from ..rulebooks import rulebook
from . import bench_table, brake, disturbed_learns, scenario
from .disturbed_learns import DisturbedLearn
from .study import LEARN_STATES, Study

#: Longest title of a study, in characters.
LONGEST_TITLE = 200

#: Names that a list of parts or of learn states may have.
MOST_NAMES = 200


def load(path: str | Path) -> Study:
    """Reads and checks a study file; raises :class:`~twintrack.errors.InputError` at the first error."""
    return study_of(toml_file.read(path))


def study_of(file: TomlFile) -> Study:
    """The study that a file's table holds."""
    known = [
        "title",
        "design",  # this and the tables named below are read by designs and experiments
        "scenario",
        "pedals",
        "bodies",
        "learn",
        "stroke",
        "brake",
        "hazard",
        "bench",
        "faults",
        "faults_from",
        "rule_sets",
        "rules",
        "audit",
        "idle",
        "diagnosis",
        "search",
        "rare",
        "double_faults",
        "observed",
        "priors",
        "tolerances",
        "correlated",
        "sampling",
    ]
    file.only((), file.table, known)
    title = _title(file)
    pedals = _parts(file, "pedals", "pedal", parts.pedals())
    bodies = _parts(file, "bodies", "body", parts.bodies())
    every = scenario.every_fault_from(file)
    learn = _learn(file, len(pedals) + len(bodies), LEARN_STATES if every is None else ("fresh",))
    stroke, faults, hazard = scenario.stroke(file), scenario.faults(file), scenario.hazard(file)
    rules = rulebook.from_file(file)
    bench = bench_table.from_study(file, scenario.is_idle(file))
    if not {"pedals", "bodies", "scenario"} & file.table.keys():
        file.fail((), 'the study names no parts; give "pedals" and "bodies" (["all"]: every built-in one)')
    study = Study(
        *(title, file.path, pedals, bodies, learn, bench, stroke, faults, rules),
        brake=brake.from_file(file),
        every_fault_from=every,
        hazard=hazard,
    )
    _check_wiring(file, study)
    _check_faults(file, study)
    _check_disturbed_learns(file, study)
    return study


def _title(file: TomlFile) -> str:
    title = file.table.get("title", file.path.stem)
    if not isinstance(title, str):
        file.fail(("title",), "must be text", title)
    if len(title) > LONGEST_TITLE or not title.isprintable():
        file.fail(("title",), f"must be at most {LONGEST_TITLE} printable characters, in one line", title)
    return title


def _check_faults(file: TomlFile, study: Study) -> None:
    """Each fault must be able to act on each pair, and within the run."""
    duration = study.stroke.duration
    if study.every_fault_from is not None and study.every_fault_from >= duration:
        file.fail(
            ("faults_from",) if "faults_from" in file.table else ("faults",),
            f"the faults start at {study.every_fault_from:g} s, when the run is over; "
            f"allowed: before {duration:g} s, the end of the stroke",
            file.table.get("faults_from"),
        )
    for pedal, body in itertools.product(study.pedals, study.bodies):
        bench = study.parameters(pedal, body, 0)
        try:
            _core.check_faults(list(study.faults), bench, brake=study.brake is not None, duration=duration)
        except _core.InvalidParameter as error:
            where = str(getattr(error, "where", ""))
            reason = str(error).removeprefix(f"{where}: ")
            if not where.startswith("faults"):
                file.fail(("bench", *toml_file.place_of(where)), reason)
            file.fail(toml_file.place_of(where), f"{pedal} with {body}: {reason}")


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
                bench = study.parameters(pedal, body, 0)
                _core.Session(bench, study.stroke, faults=[fault], brake=study.brake)
            except _core.InvalidParameter as error:
                file.fail(("faults", i), f"{pedal} with {body}: {str(error).removeprefix('faults: ')}")


def _names(file: TomlFile, key: str, default: list[str]) -> list[str]:
    names = file.table.get(key, default)
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        file.fail((key,), "must be a list of texts", names if isinstance(names, str) else None)
    if not names:
        file.fail((key,), "the list is empty; name at least one")
    if len(names) > MOST_NAMES:
        file.fail((key,), f"has {len(names)} entries; allowed: at most {MOST_NAMES}")
    for name in names:
        if names.count(name) > 1:
            file.fail((key,), f"{name!r} is in the list twice, which makes the same cases twice")
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


def _learn(file: TomlFile, part_count: int, usual: tuple[str, ...]) -> tuple[str | DisturbedLearn, ...]:
    swappable = part_count > 2
    entries = file.table.get("learn")
    if isinstance(entries, list) and any(isinstance(entry, dict) for entry in entries):
        if len(entries) > MOST_NAMES:
            file.fail(("learn",), f"has {len(entries)} entries; allowed: at most {MOST_NAMES}")
        states: list[str | DisturbedLearn] = [_state(file, entry, i) for i, entry in enumerate(entries)]
    else:
        names = _names(file, "learn", [state for state in usual if swappable or state != "stale"])
        states = [_state(file, name, i) for i, name in enumerate(names)]
    for state in states:
        if states.count(state) > 1:
            file.fail(("learn",), f"{_word(state)!r} is in the list twice, which makes the same cases twice")
    if "stale" in states and not swappable:
        file.fail(("learn",), "'stale' needs a second pedal or a second body to learn with before the swap")
    return tuple(states)


def _word(state: str | DisturbedLearn) -> str:
    return state if isinstance(state, str) else state.text


def _state(file: TomlFile, entry: Any, i: int) -> str | DisturbedLearn:
    """One entry of ``learn``: a learn state, or a range learn under disturbances."""
    if isinstance(entry, str) and entry not in disturbed_learns.KINDS:
        if entry in LEARN_STATES:
            return entry
        file.fail(
            ("learn",),
            f"{entry!r} is no learn state{closest(entry, [*LEARN_STATES, *disturbed_learns.KINDS])} "
            f"(there are: {listing(LEARN_STATES)}; or a disturbance: {listing(disturbed_learns.KINDS)})",
        )
    return disturbed_learns.from_file(file, entry, ("learn", i))


def _check_disturbed_learns(file: TomlFile, study: Study) -> None:
    """The disturbances of a learn, and what remains of them, must be possible on each pair."""
    for i, disturbed_learn in enumerate(study.learn):
        if isinstance(disturbed_learn, str):
            continue
        for pedal, body in itertools.product(study.pedals, study.bodies):
            if wrong := disturbed_learns.problem(
                disturbed_learn, study.parameters(pedal, body, 0), study.faults, study.stroke, study.brake
            ):
                file.fail(("learn", i), f"{disturbed_learn.text}: {pedal} with {body}: {wrong}")
