# SPDX-License-Identifier: BSD-3-Clause
"""Plain values as the text of a TOML file, which reads back as the same."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def text(table: Mapping[str, Any]) -> str:
    """Keys with plain values first, then tables, lists of tables last."""
    return "\n".join(_table(table, "")) + "\n"


def _table(table: Mapping[str, Any], path: str) -> list[str]:
    plain, deep = [], []
    for key, value in table.items():
        name = _key(key)
        here = f"{path}.{name}" if path else name
        if (isinstance(value, Mapping) and _has_tables(value)) or (isinstance(value, Mapping) and not path):
            deep += ["", f"[{here}]", *_table(value, here)]
        elif isinstance(value, list) and value and all(isinstance(entry, Mapping) for entry in value):
            for entry in value:
                deep += ["", f"[[{here}]]", *_table(entry, here)]
        else:
            plain.append(f"{name} = {_value(value)}")
    return plain + deep


def _has_tables(table: Mapping[str, Any]) -> bool:
    return any(isinstance(v, Mapping) or (isinstance(v, list) and v and isinstance(v[0], Mapping))
               for v in table.values())  # fmt: skip


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else json.dumps(key, ensure_ascii=False)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)
