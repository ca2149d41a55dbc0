# SPDX-License-Identifier: BSD-3-Clause
"""A controller that is an FMU for co-simulation (FMI 2.0 or 3.0), by FMPy.

At a tick its inputs are set, it makes one step of a control period, and its outputs are the command. Inputs
and outputs it may have, by name; whatever is absent is left out, only ``command.duty`` must be there:

    input.pedal[k], .throttle[k], .pedal_reference[k], .throttle_reference[k], .pedal_trust[k],
    .throttle_trust[k], and input.NAME with the other names of ControlInput
    command.duty, .pedal, .demand, .set_point, .opening, and .mode (a choice of the bridge's modes; default:
    drive)

Parameters that are set before it starts, where it has them: ``learned_range.pedal[k,j]``,
``learned_range.throttle[k,j]`` and ``learned_range.default_opening``; and ``learned`` is set to "none" when
nothing was learned. An FMU without them goes by what it was exported with.
"""

from __future__ import annotations

import contextlib
import ctypes
import importlib.util
import re
import shutil
from collections.abc import Callable
from typing import Any

from .. import _core
from ..errors import InputError, listing

_INDEX = re.compile(r"input\.(\w+)\[([123])\]")
_MODES = ("drive", "brake", "high_impedance")
_BELIEVED = ("pedal", "demand", "set_point", "opening")


class FmuController:
    """A factory like any other: ``(learned, bench, period)`` to an object with ``step(ControlInput)``.

    Raises :class:`InputError` when FMPy is not installed, the file is no FMU, none for co-simulation, none
    for this machine, or no controller. Loading it runs its code.
    """

    def __init__(self, path: str) -> None:
        self.path = path
        if importlib.util.find_spec("fmpy") is None:
            self._fail("needs the package fmpy, which is not installed: pip install 'twintrack[fmi]'")
        import fmpy

        try:
            self.description = fmpy.read_model_description(path)
            self._folder = _Folder(fmpy.extract(path))
        except Exception as error:  # whatever FMPy raises for what is no FMU
            self._fail(f"is no FMU that can be read: {error}")
        self.version = int(self.description.fmiVersion[0])
        if self.description.coSimulation is None or self.version not in (2, 3):
            self._fail("is not for co-simulation by FMI 2.0 or 3.0, which a controller must be")
        self.variables = {v.name: v for v in self.description.modelVariables}
        if "command.duty" not in self.variables:
            outputs = [v.name for v in self.description.modelVariables if v.causality == "output"]
            self._fail(f"has no output command.duty, so it is no controller; its outputs: {listing(outputs)}")

    def _fail(self, why: str) -> Any:
        raise InputError(f"unit {self.path!r}: {why}")

    def __call__(self, learned: _core.LearnedRange | None, bench: Any, period: float) -> _Instance:
        return _Instance(self, learned, period)

    def made(self, name: str, logged: list[str]) -> Any:
        """An instance as FMPy has it, not yet initialized; what it tells goes to ``logged``."""
        from fmpy import fmi2, fmi3
        from fmpy.logging import addLoggerProxy

        def keep(_environment: Any, *told: Any) -> None:
            logged.append(next(t for t in reversed(told) if isinstance(t, bytes)).decode(errors="replace"))

        try:
            arguments = {
                "guid": self.description.guid,
                "unzipDirectory": self._folder.path,
                "modelIdentifier": self.description.coSimulation.modelIdentifier,
                "instanceName": name,
            }
            if self.version == 3:
                made = fmi3.FMU3Slave(**arguments)
                made.instantiate(logMessage=keep)
                return made
            made = fmi2.FMU2Slave(**arguments)
            callbacks = fmi2.fmi2CallbackFunctions()
            callbacks.logger = fmi2.fmi2CallbackLoggerTYPE(keep)
            callbacks.allocateMemory = fmi2.defaultCallbacks.allocateMemory
            callbacks.freeMemory = fmi2.defaultCallbacks.freeMemory
            with contextlib.suppress(Exception):  # its texts are then formats without their arguments
                addLoggerProxy(ctypes.byref(callbacks))
            made.instantiate(callbacks=callbacks)
            return made
        except Exception as error:
            self._fail(f"cannot be made: {'; '.join(logged) or error}")


class _Folder:
    """What the file was unpacked to; goes with the last that needs it."""

    def __init__(self, path: str) -> None:
        self.path = path

    def __del__(self) -> None:
        shutil.rmtree(self.path, ignore_errors=True)


class _Instance:
    """One controller for one case."""

    def __init__(self, factory: FmuController, learned: _core.LearnedRange | None, period: float) -> None:
        self._factory, self._period, self._ticks = factory, period, 0
        self._logged: list[str] = []
        self._fmu = factory.made("controller", self._logged)
        try:
            self._begin(learned)
        except Exception as error:
            raise RuntimeError(self._why(error)) from None
        variables = factory.variables
        self._inputs = [
            (self._way("set", v), [v.valueReference], read)
            for name, v in variables.items()
            if v.causality == "input" and (read := _reader(name))
        ]
        self._duty = variables["command.duty"].valueReference
        self._believed = [n for n in _BELIEVED if f"command.{n}" in variables]
        self._reals = [
            self._duty,
            *(variables[f"command.{n}"].valueReference for n in self._believed),
        ]
        self._get_reals = self._way("get", variables["command.duty"])
        mode = variables.get("command.mode")
        self._mode = (self._way("get", mode), [mode.valueReference]) if mode else None

    def _way(self, way: str, variable: Any) -> Callable[..., Any]:
        """``getReal``, ``setInt64``, … by version and type."""
        enumeration = "Integer" if self._factory.version == 2 else "Int64"
        kind = enumeration if variable.type == "Enumeration" else variable.type
        found: Callable[..., Any] = getattr(self._fmu, way + kind)
        return found

    def _begin(self, learned: _core.LearnedRange | None) -> None:
        values, variables = _learned(learned), self._factory.variables
        there = {name for name in variables if name.startswith("learned_range.")}
        if learned is not None and there and there != values.keys() - {"learned"}:
            raise RuntimeError("its learned range is of other assemblies: they have not as many tracks")
        for name in values.keys() & variables.keys():
            v = variables[name]
            self._way("set", v)([v.valueReference], [values[name]])
        if self._factory.version == 2:
            self._fmu.setupExperiment(startTime=0.0)
        self._fmu.enterInitializationMode()
        self._fmu.exitInitializationMode()

    def step(self, seen: _core.ControlInput) -> _core.Command:
        try:
            for put, reference, read in self._inputs:
                put(reference, [read(seen)])
            self._fmu.doStep(self._ticks * self._period, self._period)
            duty, *believed = self._get_reals(self._reals)
            mode = _MODES[int(self._mode[0](self._mode[1])[0]) - 1] if self._mode else "drive"
        except Exception as error:
            raise RuntimeError(self._why(error)) from None
        self._ticks += 1
        return _core.Command(mode=mode, duty=duty, **dict(zip(self._believed, believed, strict=True)))

    def _why(self, error: Exception) -> str:
        return f"FMU {self._factory.path!r}: {'; '.join(self._logged[-3:]) or error}"

    def __del__(self) -> None:
        with contextlib.suppress(Exception):  # half made, or at the interpreter's end
            self._fmu.freeInstance()


def _reader(name: str) -> Callable[[Any], Any] | None:
    """What an input of that name is set to; None: nothing, it keeps its own value."""
    if match := _INDEX.fullmatch(name):
        attribute, k = match[1], int(match[2]) - 1
        if not hasattr(_core.ControlInput, attribute):
            return None
        return lambda seen: getattr(seen, attribute)[k]
    attribute = name.removeprefix("input.")
    if attribute in _CHOICES:
        choices = _CHOICES[attribute]
        return lambda seen: choices.index(getattr(seen, attribute)) + 1
    if attribute in _ENGINE:
        inner = _ENGINE[attribute]
        return lambda seen: getattr(seen.engine, inner)
    if name != attribute and hasattr(_core.ControlInput, attribute):
        return lambda seen: getattr(seen, attribute)
    return None


#: Inputs that are one of several words, in the order of the enumeration.
_CHOICES = {
    "idle_contact": ["absent", "foot off", "foot on"],
    "bridge_state": ["ready", "undervoltage", "tripped", "hot"],
    "bridge_fault": ["none", "short to ground", "short to battery", "short across", "open load"],
}
_ENGINE = {
    "engine_running": "running",
    "engine_speed": "speed",
    "engine_coolant": "coolant",
    "idle_goal": "idle_goal",
    "idle_authority": "idle_authority",
}


def _learned(learned: _core.LearnedRange | None) -> dict[str, float]:
    """Values of the parameters that hold what was learned; a choice counts from 1: stored, none, fresh."""
    if learned is None:
        return {"learned": 2}
    values = {"learned": 1, "learned_range.default_opening": learned.default_opening}
    for side in ("pedal", "throttle"):
        for k, track in enumerate(getattr(learned, side), 1):
            for j, reading in enumerate(track.curve.tolist(), 1):
                values[f"learned_range.{side}[{k},{j}]"] = reading
    return values
