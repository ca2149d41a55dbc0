# SPDX-License-Identifier: BSD-3-Clause
"""Calls from Python with one argument that is wrong."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import partial
from typing import Any

from mutated_files import Mutant, Refused, learned
from mutated_text import NESTED, NUL

import twintrack as tt

#: In place of a number, a text, a flag, an object or a list of objects: certainly wrong in a call.
WRONG_CALL: dict[str, list[Any]] = {
    "number": [
        "text",
        [],
        {},
        float("nan"),
        float("inf"),
        10**400,
        1e300,
        -1e300,
        NUL,
        "x" * 10_000,
        object(),
        NESTED,
        "\ud800",
        [0.0] * 100_000,
        b"1",
    ],
    "text": [3, 1.5, [], NUL, "x" * 100_000, object(), "\ud800", b"text", None, ""],
    "object": [3, "text", [], object(), float("nan"), "x" * 10_000, b""],
    "list": [3, "text", {"a": 1}, object(), [object()], [3], ["x" * 10_000], NESTED, [None], float("nan")],
    "numbers": [
        3,
        "text",
        {},
        object(),
        ["text"],
        [float("nan")] * 2,
        [[0.0], [1.0]],
        [],
        [0.0] * 1_000_000,
        [10**400],
        None,
        NESTED,
    ],
}


def calls() -> list[tuple[str, Callable[..., Any], dict[str, tuple[str, Any]]]]:
    """Name, function, and of each argument its kind and a right value."""
    pair = tt.BenchParameters(pedal=tt.pedal("half-slope-low"), body=tt.body("opposed-six"))
    stroke = tt.Stroke(time=[0.0, 0.1, 0.2], travel=[0.0, 0.5, 0.5])
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    fault = {
        "where": ("text", "pedal.track1"),
        "what": ("text", "offset"),
        "amount": ("number", 0.1),
        "start": ("number", 0.1),
        "end": ("number", 0.15),
        "ramp": ("number", 0.01),
    }
    run = {"stroke": ("object", stroke), "duration": ("number", 0.2), "faults": ("list", [])}
    case = {
        "parameters": ("object", pair),
        "learn": ("text", "none"),
        "stroke": ("object", stroke),
        "faults": ("list", []),
    }
    return [
        *notebook_calls(bench, stroke),
        ("Fault", tt.Fault, fault),
        ("Stroke", tt.Stroke, {"time": ("numbers", [0.0, 1.0]), "travel": ("numbers", [0.0, 1.0])}),
        (
            "LearnDisturbance",
            tt.LearnDisturbance,
            {"name": ("text", "pressed_short"), "amount": ("number", 0.6)},
        ),
        ("quantity", lambda value: tt.quantity(value, "V"), {"value": ("text", "13 V")}),
        ("pedal", tt.pedal, {"name": ("text", "half-slope-low")}),
        ("TrackParameters", tt.TrackParameters, {"ratio": ("numbers", [0.1, 0.8]), "bow": ("number", 0.01)}),
        ("PedalParameters", tt.PedalParameters, {"name": ("text", "mine"), "travel": ("number", 0.3)}),
        (
            "BenchParameters",
            tt.BenchParameters,
            {"supply": ("number", 13.0), "pedal": ("object", pair.pedal)},
        ),
        (
            "replace",
            lambda **k: pair.replace({"body.mechanics.motor.resistance": k["r"]}),
            {"r": ("number", 2.0)},
        ),
        ("Bench", tt.Bench, {"pedal": ("text", "half-slope-low"), "body": ("text", "opposed-six")}),
        ("Bench.run", bench.run, run),
        ("run", tt.run, {"parameters": ("object", pair), **run}),
        ("Case", tt.Case, case),
        (
            "LearnedRange.replace",
            learned().replace,
            {
                "supply": ("number", 12.0),
                "pedal_name": ("text", "b"),
                "pedal": ("list", learned().to_dict()["pedal"]),
            },
        ),
    ]


def notebook_calls(
    bench: tt.Bench, stroke: tt.Stroke
) -> list[tuple[str, Callable[..., Any], dict[str, tuple[str, Any]]]]:
    """The same of what notebooks and lessons use."""
    answer = {
        "lesson": ("text", "open loop"),
        "question": ("text", "voltage span"),
        "answer": ("number", 0.5),
    }
    return [
        ("Bench.diagram", bench.diagram, {"run": ("object", bench.run(stroke)), "at": ("number", 0.1)}),
        ("lessons.check", partial(tt.lessons.check, answer=0.5), answer),
    ]


def call_mutant(
    draw: random.Random, known: list[tuple[str, Callable[..., Any], dict[str, tuple[str, Any]]]]
) -> Mutant:
    name, function, arguments = draw.choice(known)
    values = {key: value for key, (_, value) in arguments.items()}
    key = draw.choice(list(arguments))
    kind = arguments[key][0]
    values[key] = draw.choice(WRONG_CALL[kind])
    free = key == "pedal_name" and values[key] == ""  # it may be unknown whose range it is

    def attempt() -> None:
        try:
            function(**values)
        except (ValueError, TypeError) as error:  # a wrong value, a wrong type
            raise Refused(str(error)) from error

    return Mutant(f"call: {name}({key} = {repr(values[key])[:40]})", not free, attempt)
