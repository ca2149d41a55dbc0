# SPDX-License-Identifier: BSD-3-Clause
"""The table ``[audit]`` of a study file."""

from __future__ import annotations

from typing import Any

from ... import _core
from ...errors import InputError, listing
from ...files.toml_file import Place, TomlFile
from ...parts import catalogue as parts
from ...studies import setups
from ...studies.study import Study
from .instants import DRIVE, INSTANTS, foot_times
from .table import UNWATCHED


def read(file: TomlFile, study: Study) -> tuple[dict[str, _core.MonitorParameters], list[str], _core.Stroke]:
    """Set-ups, instants and drive; raises :class:`InputError` at the first error."""
    if "faults" in file.table:
        file.fail(("faults", 0), "an audit makes its own faults, each alone; leave these out")
    table = file.table.get("audit", {})
    if not isinstance(table, dict):
        file.fail(("audit",), "must be a table ([audit])", table)
    file.only(("audit",), table, ["setups", "instants", "monitor"])
    stroke = study.stroke if "stroke" in file.table else DRIVE
    return _setups(file, table, study), _instants(file, table, stroke), stroke


def _setups(file: TomlFile, table: dict[str, Any], study: Study) -> dict[str, _core.MonitorParameters]:
    place: Place = ("audit", "monitor")
    own = table.get("monitor", {})
    if not isinstance(own, dict):
        file.fail(place, "must be tables ([audit.monitor.NAME])", own)
    known = {name: parts.build(file, _core.MonitorParameters, own[name], (*place, name)) for name in own}
    for name in own:
        if name in setups.MEANING:
            file.fail(
                (*place, name), f"is a built-in set-up; choose a name other than {listing(setups.MEANING)}"
            )
    names = _names(file, table, "setups", ["default", UNWATCHED, *own])
    found = {}
    for name in names if UNWATCHED in names else [*names, UNWATCHED]:
        try:
            found[name] = known[name] if name in known else setups.setup(name)
        except InputError as error:
            file.fail(("audit", "setups"), f"{error}; or one of [audit.monitor.NAME]")
    if "default" in found:
        found["default"] = study.bench.get("monitor", found["default"])
    return found


def _instants(file: TomlFile, table: dict[str, Any], stroke: _core.Stroke) -> list[str]:
    has = [*foot_times(stroke), "crossing"]
    names = _names(file, table, "instants", [name for name in INSTANTS if name in has])
    for name in names:
        if name not in INSTANTS:
            file.fail(("audit", "instants"), f"there is no instant {name!r} (there are: {listing(INSTANTS)})")
        if name not in has:
            file.fail(("audit", "instants"), f"the stroke has no instant {name!r}: {INSTANTS[name]}")
    return names


def _names(file: TomlFile, table: dict[str, Any], key: str, default: list[str]) -> list[str]:
    names = table.get(key, default)
    if not isinstance(names, list) or not names or not all(isinstance(name, str) for name in names):
        file.fail(("audit", key), "must be a list of texts, not empty", names)
    return list(dict.fromkeys(names))
