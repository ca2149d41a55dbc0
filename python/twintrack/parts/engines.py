# SPDX-License-Identifier: BSD-3-Clause
"""The engines behind a throttle: built-in ones, those of study files, and the drive that shows an idle."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..errors import InputError, closest, listing
from ..files.toml_file import TomlFile
from . import catalogue as parts

#: The foot of the scenario ``idle`` [s], [share of travel]: let the engine settle, tip in, return.
IDLE_STROKE = {"time": [0.0, 15.0, 15.3, 16.8, 17.0, 26.0], "travel": [0.0, 0.0, 0.2, 0.2, 0.0, 0.0]}

#: Key and load of the scenario ``idle`` [s]: start, a load comes and goes, key off.
IDLE_COURSE = {"start_at": 0.5, "accessory_from": 9.0, "accessory_to": 13.0, "key_off": 23.0}

#: Torque of that load per swept volume [N·m/m³]; common practice, no source.
LOAD_PER_VOLUME = 5000.0


def engines() -> dict[str, _core.EngineSetup]:
    """All built-in engines by name, invented for demonstration."""
    return {engine.name: engine for engine in _core.built_in_engines()}


def engine(name: str) -> _core.EngineSetup:
    """The built-in engine of that name. Raises :class:`InputError` listing those there are."""
    known = engines()
    if name not in known:
        raise InputError(f"there is no engine {name!r}{closest(name, known)} (there are: {listing(known)})")
    return known[name]


def idle_stroke() -> _core.Stroke:
    """The foot of the scenario ``idle``."""
    return _core.Stroke(**IDLE_STROKE)


def with_idle_course(setup: _core.EngineSetup, stated: dict[str, Any] | None = None) -> _core.EngineSetup:
    """The engine with key and load of the scenario ``idle``, but for what ``stated`` names."""
    torque = round(LOAD_PER_VOLUME * setup.model.cylinders.displacement, 1)
    course = {**IDLE_COURSE, "accessory_torque": torque}
    return setup.replace({f"course.{k}": v for k, v in course.items() if k not in (stated or {})})


def from_study(file: TomlFile, idle: bool) -> _core.EngineSetup | None:
    """The engine of a study: ``[bench] engine = "name"``, or a table ``[bench.engine]`` whose ``like`` names
    the built-in engine that it changes (absent: the first). The scenario ``idle`` has one in any case."""
    bench = file.table.get("bench", {})
    given = bench.get("engine") if isinstance(bench, dict) else None
    if given is None and not idle:
        return None
    table = {"like": given} if isinstance(given, str) else {} if given is None else given
    if not isinstance(table, dict):
        file.fail(("bench", "engine"), "must be a name or a table ([bench.engine])", given)
    known = engines()
    like = table.get("like", next(iter(known)))
    if not isinstance(like, str) or like not in known:
        place = ("bench", "engine") if isinstance(given, str) else ("bench", "engine", "like")
        hint = closest(like, known) if isinstance(like, str) else ""
        file.fail(place, f"there is no such engine{hint} (there are: {listing(known)})", like)
    base = known[like]
    changes = {key: value for key, value in table.items() if key != "like"}
    stated = changes.get("course", {})
    if idle:
        base = with_idle_course(base, stated if isinstance(stated, dict) else {})
    built: _core.EngineSetup = parts.build(file, _core.EngineSetup, changes, ("bench", "engine"), base)
    return built
