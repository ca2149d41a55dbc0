# SPDX-License-Identifier: BSD-3-Clause
"""The table ``[bench]`` of a study."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..files.toml_file import TomlFile
from ..parts import catalogue as parts
from ..parts import engines as engine_parts


def from_study(file: TomlFile, idle: bool) -> dict[str, Any]:
    """Constructor arguments for the bench, checked by building one."""
    table = file.table.get("bench", {})
    if not isinstance(table, dict):
        file.fail(("bench",), "must be a table ([bench])", table)
    for key in ("pedal", "body", "case_number"):
        if key in table:
            file.fail(
                ("bench", key), "is set case by case; name the parts in 'pedals' and 'bodies'", table[key]
            )
    rest = {key: value for key, value in table.items() if key not in ("wiring", "engine")}
    bench = parts.build(file, _core.BenchParameters, rest, ("bench",))
    chosen = {key: getattr(bench, key) for key in rest}
    if "wiring" in table:  # apart, because a pin-out fits only some pairs
        chosen["wiring"] = parts.build(file, _core.WiringParameters, table["wiring"], ("bench", "wiring"))
    if (engine := engine_parts.from_study(file, idle)) is not None:
        chosen["engine"] = engine
    return chosen
