# SPDX-License-Identifier: BSD-3-Clause
"""A throttle body as a part file that studies take."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np

#: Lowest and highest value by dotted path of the mechanics.
Intervals = Mapping[str, tuple[float, float]]


def part_text(body: Any, estimates: Intervals) -> str:
    """A part file (TOML) of a throttle body, with intervals as comments."""
    lines = ["# SPDX-License-Identifier: BSD-3-Clause", f"# {body.origin}.", 'kind = "body"']
    lines += _table(body, [], estimates)
    return "\n".join(lines) + "\n"


def _table(part: Any, path: list[str], estimates: Intervals) -> list[str]:
    plain, tables = [], []
    for field in type(part).fields():
        value = getattr(part, field.name)
        if value is None:
            continue
        here = [*path, field.name]
        if field.kind in ("struct", "optional struct"):
            tables += ["", f"[{'.'.join(here)}]", *_table(value, here, estimates)]
        elif field.kind == "list":
            for entry in value:
                tables += ["", f"[[{'.'.join(here)}]]", *_table(entry, here, estimates)]
        else:
            told = estimates.get(".".join(here).removeprefix("mechanics."))
            note = f"  # {told[0]:.5g} … {told[1]:.5g}" if told and path[:1] == ["mechanics"] else ""
            plain.append(f"{field.name} = {_value(field, value)}{note}")
    return plain + tables


def _value(field: Any, value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + re.sub(r'(["\\])', r"\\\1", value) + '"'
    if isinstance(value, (list, tuple, np.ndarray)):
        return "[" + ", ".join(_number(field.unit, float(v)) for v in value) + "]"
    return str(value) if isinstance(value, int) else _number(field.unit, float(value))


def _number(unit: str, value: float) -> str:
    return f'"{value!r} {unit}"' if unit else repr(value)
