# SPDX-License-Identifier: BSD-3-Clause
"""Mutations of what files hold: values, keys, letters, bytes."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

#: Leaves that may be anything of their type, so that a changed one is not certainly wrong.
FREE = {"title", "seed", "origin", "note", "pedal_name", "body_name", "arrangement"}

NUL = "a\0b"
NESTED: Any = []
for _ in range(60):
    NESTED = [NESTED]

#: In place of a quantity ("13 V"), a number, a flag, a text, a list, a table: certainly wrong.
NOT_TABLE = [3, "text", True, [[]], [3]]
WRONG: dict[str, list[Any]] = {
    "quantity": [
        13,
        "13",
        "V",
        "",
        "nan V",
        "inf V",
        "1e400 V",
        "13 parsec^2",
        "13 " + "V" * 100_000,
        "13 V^99999999",
        "9" * 5000 + " V",
        NUL,
        True,
        [],
        {},
        NESTED,
        10**400,
        "13 V; 14 V",
        "0x1F V",
        "13 m**9**9**9",
    ],
    "number": [
        "text",
        "",
        "3 parsec",
        True,
        [],
        {},
        NESTED,
        10**400,
        float("nan"),
        float("inf"),
        1e300,
        -1e300,
        NUL,
    ],
    "flag": [0, 1, "true", "", [], {}, NESTED, 0.5, 10**400],
    "text": [0, 1.5, True, [], {}, NESTED, 10**400, NUL, "x" * 400, "x" * 100_000, "", "../../etc/passwd"],
    "list": [3, "text", True, {}, NESTED, [NUL] * 3, list(range(20_000)), [{}] * 300, 10**400],
    "table": NOT_TABLE,
}


#: Each value is allowed, what they say together makes no sense.
SENSELESS = [
    ('from = "2 s"', 'from = "4 s"'),
    ('from = "1 s"', 'from = "1000 s"'),
    ("pedal.track1", "pedal.track3"),
    ('where = "pedal.track1"\nwhat = "offset"', 'where = "manifold"\nwhat = "vacuum_leak"'),
    ('where = "supply"\nwhat = "scale"', 'where = "pedal.idle_switch"\nwhat = "stuck_on"'),
    ('with = "pedal return 1"', 'with = "pedal signal 1"'),
    ('with = "pedal return 1"', 'with = "motor"'),
    ('to = "1.5 s"', 'to = "1 s"'),
    ('"4 s"], travel', '"1 s"], travel'),
    ('"2 s"], travel', '"100000 s"], travel'),
    ('"half-slope-low"', '"half-slope-low", "half-slope-low"'),
    ('["fresh"]', '["stale"]'),
    ("ratio = [", "ratio = [0.5, 0.5] # ["),
    ("[[tracks]]", "[[axes]]"),
    ('least = "11 V"', 'least = "16 V"'),
    ("[0.8, 1.0] }", "[0.8, 7.0] }"),
    ("faults[1]", "faults[2]"),
]


def senseless(draw: random.Random, text: str) -> tuple[str, str]:
    """One of those; the whole text once more when none fits."""
    old, new = draw.choice([pair for pair in SENSELESS if pair[0] in text] or [("", text)])
    return f"{new!r} for {old!r}", text.replace(old, new, 1)


def leaves(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Paths to every value of a tree, tables and lists among them, but for the tree itself."""
    found = [path] if path else []
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in inside:
        found += leaves(inner, (*path, key))
    return found


def kind_of(value: Any) -> str:
    if isinstance(value, bool):
        return "flag"
    if isinstance(value, (int, float)):
        return "number"
    if isinstance(value, (list, dict)):
        return "list" if isinstance(value, list) else "table"
    return "quantity" if value[:1].isdigit() and " " in value else "text"


def put(tree: Any, path: tuple[Any, ...], value: Any) -> None:
    for key in path[:-1]:
        tree = tree[key]
    tree[path[-1]] = value


def get(tree: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        tree = tree[key]
    return tree


def toml(value: Any) -> str:
    """A value as TOML: tables inline, but for the outermost."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k)} = {toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, str):
        return json.dumps(value)
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 10**300:
        return "1" + "0" * 5000
    return str(value).lower()


def toml_file(tree: dict[str, Any]) -> str:
    return "".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in tree.items())


def wrong_leaf(draw: random.Random, tree: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    """One value replaced by one that is certainly wrong there."""
    tree = copy.deepcopy(tree)
    paths = [p for p in leaves(tree) if not FREE & set(p)]
    path = draw.choice(paths)
    kind = kind_of(get(tree, path))
    value = draw.choice(WRONG[kind])
    put(tree, path, value)
    return f"{'.'.join(map(str, path))} = {str(value)[:40]!r}", tree


def wrong_key(draw: random.Random, tree: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    """One key renamed, or a key added, that nobody knows."""
    tree = copy.deepcopy(tree)
    tables = [()] + [p for p in leaves(tree) if isinstance(get(tree, p), dict)]
    table = get(tree, draw.choice(tables))
    key = draw.choice(["nonsense", "x" * 400, NUL, "pedal.line", "Ω"])
    table[key] = draw.choice([1, "text", [], {}, NESTED])
    return f"key {key[:20]!r} added", tree


def damaged_text(draw: random.Random, text: str) -> tuple[str, str]:
    """Letters lost, doubled, exchanged; a file cut short; lines in another order. It may still be right."""
    way = draw.choice(["lose", "insert", "cut", "lines", "double", "digits"])
    at = draw.randrange(len(text))
    if way == "lose":
        return way, text[:at] + text[at + draw.randrange(1, 4) :]
    if way == "insert":
        return way, text[:at] + draw.choice(
            ['"', "[", "]", "{", "=", "\n", "#", "\\", "é", "\u2028", "0"]
        ) + text[at:]
    if way == "cut":
        return way, text[:at]
    lines = text.splitlines(keepends=True)
    i, k = draw.randrange(len(lines)), draw.randrange(len(lines))
    if way == "digits":
        return way, "".join(
            draw.choice("0123456789") if c.isdigit() and draw.random() < 0.1 else c for c in text
        )
    if way == "double":
        return way, "".join([*lines[:i], lines[i], *lines[i:]])
    lines[i], lines[k] = lines[k], lines[i]
    return way, "".join(lines)


def broken_bytes(draw: random.Random, text: str) -> tuple[str, bytes]:
    """What is certainly no file of ours."""
    ways: dict[str, bytes] = {
        "bytes": text.encode() + bytes(draw.randrange(128, 256) for _ in range(5)) + b"\xff",
        "brackets": b"x = " + b"[" * 3000 + b"]" * 3000,
        "tables": ("[" + ".".join(["a"] * 3000) + "]\n").encode(),
        "deep keys": (".".join(["a"] * 100_000) + " = 1\n").encode(),
        "digits": b"x = " + b"9" * 5000,
        "too large": text.encode() + b"#" * 1_100_000,
        "many points": b"stroke = { time = [" + b"'1 s', " * 100_000 + b"], travel = [] }",
        "utf-16": text.encode("utf-16"),
    }
    name = draw.choice(list(ways))
    return name, ways[name]
