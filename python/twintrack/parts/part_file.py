# SPDX-License-Identifier: BSD-3-Clause
"""A pedal or a throttle body as the text of a part file, which can be copied, edited and used."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

import numpy as np

#: Lowest and highest value by dotted path of the mechanics.
Intervals = Mapping[str, tuple[float, float]]

#: Column in which the comments begin, unless a value is longer.
_COMMENTS = 38


def part_text(kind: str, part: Any, estimates: Intervals | None = None) -> str:
    """The part file (TOML) of ``part``; ``kind`` is "pedal" or "body".

    The comments say what each field means and what is allowed; where ``estimates`` has an interval they give
    that instead. Reading the file gives the part back to the bit.
    """
    lines = ["# SPDX-License-Identifier: BSD-3-Clause", f"# {part.origin}.", f'kind = "{kind}"']
    lines += _table(part, [], estimates)
    return "\n".join(lines) + "\n"


def _table(part: Any, path: list[str], estimates: Intervals | None) -> list[str]:
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
            line = f"{field.name} = {_value(field, value)}"
            note = _meaning(field) if estimates is None else _interval(here, estimates)
            plain.append(f"{line:<{_COMMENTS}}  # {note}" if note else line)
    return plain + tables


def _interval(path: list[str], estimates: Intervals) -> str:
    if path[:1] != ["mechanics"] or ".".join(path[1:]) not in estimates:
        return ""
    low, high = estimates[".".join(path[1:])]
    return f"{low:.5g} … {high:.5g}"


def _meaning(field: Any) -> str:
    if field.choices:
        return f"{field.meaning}: {', '.join(field.choices)}"
    if not (math.isfinite(field.least) or math.isfinite(field.most)) or field.kind in ("text", "flag"):
        return str(field.meaning)
    scale, unit = (180.0 / math.pi, "deg") if field.unit == "rad" else (1.0, field.unit)
    return f"{field.meaning}; {scale * field.least:g} … {scale * field.most:g} {unit}".rstrip()


def _value(field: Any, value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + re.sub(r'(["\\])', r"\\\1", value) + '"'
    if isinstance(value, (list, tuple, np.ndarray)):
        return "[" + ", ".join(_number(field.unit, float(v)) for v in value) + "]"
    return str(value) if isinstance(value, int) else _number(field.unit, float(value))


def _number(unit: str, value: float) -> str:
    if unit != "rad":
        return f'"{value!r} {unit}"' if unit else repr(value)
    from ..units import quantity

    degrees = f"{math.degrees(value):.10g} deg"
    return f'"{degrees}"' if quantity(degrees, "rad") == value else f'"{value!r} rad"'
