# SPDX-License-Identifier: BSD-3-Clause
"""Formulas as text, both ways.

    not persists(abs(opening - set_point) > 10 %, 1 s)
    blade.opening <= idle_opening until[0 s, 500 ms] duty < 0
    persists(throttle.track1 > 4.8 V, 100 ms) implies eventually[0 s, 10 ms] reaction >= 1

Comparisons of sums of signals, numbers and signals times numbers; a constant carries its unit as everywhere
in files. From loosest to tightest: implies; or; and; until, since; then not, previous, crisp, always,
eventually, historically, once. ``[a, b]`` is a window of time, ``[a, end]`` an open one; without one it is
``[0 s, end]``. What the words mean: page of the folder ``study``.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from typing import Any

from .. import _core
from ..errors import InputError, closest, listing
from ..units import quantity

_GRAMMAR = r"""
?formula: either | either "implies" formula -> implies
?either: both ("or" both)* -> either
?both: timed ("and" timed)* -> both
?timed: unary | unary "until" window? unary -> until | unary "since" window? unary -> since
?unary: "not" unary -> negation
    | "previous" unary -> previous
    | "crisp" unary -> crisp
    | "always" window? unary -> always
    | "eventually" window? unary -> eventually
    | "historically" window? unary -> historically
    | "once" window? unary -> once
    | "persists" "(" formula "," QUANTITY ")" -> persists
    | "held" "(" formula "," QUANTITY ")" -> held
    | "recorded" "(" QUANTITY ")" -> recorded
    | "true" -> true
    | "false" -> false
    | "(" formula ")"
    | sum RELATION sum -> comparison
    | "abs" "(" sum ")" RELATION sum -> magnitude
window: "[" QUANTITY "," (QUANTITY | END) "]"
sum: SIGN? term (SIGN term)*
term: QUANTITY -> constant | NAME -> plain | QUANTITY "*" NAME -> weighted
RELATION: ">=" | "<=" | ">" | "<"
SIGN: "+" | "-"
END: "end"
NAME: /[A-Za-z_][A-Za-z0-9_]*(\.[A-Za-z_][A-Za-z0-9_]*)*/
QUANTITY: /(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?(\s*%|\s*(?!(implies|or|and|until|since)\b)[A-Za-zµΩ°][\w°Ω\/^]*)?/
%import common.WS
%ignore WS
"""
_TIMED = ("always", "eventually", "until", "historically", "once", "since")


@functools.cache
def _parser() -> Any:
    import lark

    return lark.Lark(_GRAMMAR, parser="lalr", start="formula", propagate_positions=True)


def formula(text: str, signals: Mapping[str, str] | None = None) -> _core.Formula:
    """The formula a text says; ``signals`` gives names and units beside the known ones.

    Raises :class:`InputError` with the column for a text that is no formula, for an unknown signal, and for
    quantities that do not fit together.
    """
    import lark

    known = {**_core.rule_signals(), **(signals or {})}
    try:
        return _Reader(text, known).read(_parser().parse(text))
    except lark.exceptions.UnexpectedInput as error:
        raise InputError(_unexpected(text, error)) from error
    except RecursionError as error:
        raise InputError("too deeply nested") from error


def _unexpected(text: str, error: Any) -> str:
    if getattr(getattr(error, "token", None), "type", "") == "$END":
        return "the formula ends too early"
    at = error.pos_in_stream
    return f"column {at + 1}: not understood from {text[at : at + 20]!r} on"


class _Reader:
    """Turns the parser's tree into a formula."""

    def __init__(self, text: str, known: Mapping[str, str]) -> None:
        self.text, self.known = text, known

    def read(self, tree: Any) -> _core.Formula:
        kind, parts = tree.data, list(tree.children)
        if kind in ("true", "false"):
            return _core.Formula.truth(kind == "true")
        if kind in ("comparison", "magnitude"):
            return self._comparison(parts, kind == "magnitude")
        if kind in ("either", "both"):
            word = "or" if kind == "either" else "and"
            return functools.reduce(
                lambda a, b: _core.Formula.join(word, [a, b]), [self.read(part) for part in parts]
            )
        if kind == "recorded":
            return _core.Formula.join("eventually", [_core.Formula.truth(True)], start=self._time(parts[0]))
        if kind in ("persists", "held"):
            return _core.Formula.join(kind, [self.read(parts[0])], start=self._time(parts[1]))
        if kind in _TIMED:
            return self._timed(kind, parts)
        return _core.Formula.join("not" if kind == "negation" else kind, [self.read(part) for part in parts])

    def _timed(self, kind: str, parts: list[Any]) -> _core.Formula:
        window = next((part for part in parts if part.data == "window"), None)
        inner = [self.read(part) for part in parts if part is not window]
        if window is None:
            return _core.Formula.join(kind, inner)
        first, last = window.children
        start, end = self._time(first), None if last == "end" else self._time(last)
        if end is not None and end < start:
            raise self._error(first, f"the window ends ({last}) before it begins ({first})")
        return _core.Formula.join(kind, inner, start=start, end=end)

    def _comparison(self, parts: list[Any], absolute: bool) -> _core.Formula:
        left, relation, right = parts
        terms = [*left.find_data("plain"), *left.find_data("weighted")]
        terms += [*right.find_data("plain"), *right.find_data("weighted")]
        if not terms:
            raise self._error(relation, "neither side names a signal")
        named = sorted((term.children[-1] for term in terms), key=lambda name: name.start_pos)
        unit = self._unit(named[0])
        for name in named[1:]:
            if self._unit(name) != unit:
                raise self._error(
                    name,
                    f"{name} is in {self._unit(name) or 'shares'}, {named[0]} in {unit or 'shares'}: "
                    "they cannot be compared",
                )
        sums = [self._sum(side, unit) for side in (left, right)]
        return _core.Formula.compare(sums[0], str(relation), sums[1], absolute=absolute)

    def _sum(self, tree: Any, unit: str) -> tuple[list[tuple[str, float]], float]:
        terms: list[tuple[str, float]] = []
        constant, sign = 0.0, 1.0
        for child in tree.children:
            if not hasattr(child, "data"):
                sign = -1.0 if child == "-" else 1.0
            elif child.data == "constant":
                constant += sign * self._quantity(child.children[0], unit)
            else:
                weight = self._quantity(child.children[0], "") if child.data == "weighted" else 1.0
                terms.append((str(child.children[-1]), sign * weight))
        return terms, constant

    def _unit(self, name: Any) -> str:
        if name not in self.known:
            hint = closest(name, self.known)
            raise self._error(name, f"there is no signal '{name}'{hint} (there are: {listing(self.known)})")
        return self.known[name]

    def _time(self, token: Any) -> float:
        return self._quantity(token, "s")

    def _quantity(self, token: Any, unit: str) -> float:
        try:
            return quantity(str(token), unit)
        except InputError as error:
            raise self._error(token, f"{token}: {error}") from error

    def _error(self, token: Any, message: str) -> InputError:
        return InputError(f"column {token.start_pos + 1}: {message}")


_STRENGTH = {"implies": 0, "or": 1, "and": 2, "until": 3, "since": 3}


def text_of(formula: _core.Formula, signals: Mapping[str, str] | None = None) -> str:
    """The text of a formula, which :func:`formula` reads back as the same."""
    return _text(formula, {**_core.rule_signals(), **(signals or {})})


def _text(f: _core.Formula, units: Mapping[str, str]) -> str:
    def part(index: int, strength: int) -> str:
        inner = f.parts[index]
        text = _text(inner, units)
        return f"({text})" if _STRENGTH.get(inner.what, 9) < strength else text

    writers: dict[str, Callable[[], str]] = {
        "truth": lambda: "true" if f.value else "false",
        "comparison": lambda: _comparison_text(f, units),
        "implies": lambda: f"{part(0, 1)} implies {part(1, 0)}",
        "or": lambda: f"{part(0, 1)} or {part(1, 2)}",
        "and": lambda: f"{part(0, 2)} and {part(1, 3)}",
        "persists": lambda: f"persists({part(0, 0)}, {_seconds(f.start)})",
        "held": lambda: f"held({part(0, 0)}, {_seconds(f.start)})",
    }
    if f.what in writers:
        return writers[f.what]()
    if f.what in ("until", "since"):
        return f"{part(0, 4)} {f.what}{_window(f)} {part(1, 4)}"
    if f.what == "eventually" and f.end is None and f.parts[0] == _core.Formula.truth(True):
        return f"recorded({_seconds(f.start)})"
    return f"{f.what}{_window(f)} {part(0, 4)}"


def _comparison_text(f: _core.Formula, units: Mapping[str, str]) -> str:
    unit = units.get(f.signals[0], "") if f.signals else ""
    left = _sum_text(f.left, unit)
    return f"{f'abs({left})' if f.absolute else left} {f.relation} {_sum_text(f.right, unit)}"


def _sum_text(given: tuple[list[tuple[str, float]], float], unit: str) -> str:
    terms, constant = given
    parts = [(weight, name if abs(weight) == 1 else f"{abs(weight)!r} * {name}") for name, weight in terms]
    if constant or not terms:
        parts.append((constant, f"{abs(constant)!r} {unit}".rstrip()))
    text = " ".join(("- " if weight < 0 else "+ ") + term for weight, term in parts)
    return text.removeprefix("+ ")


def _window(f: _core.Formula) -> str:
    if f.what not in _TIMED or (f.start == 0 and f.end is None):
        return ""
    return f"[{_seconds(f.start)}, {'end' if f.end is None else _seconds(f.end)}]"


def _seconds(time: float) -> str:
    return f"{round(time, 6)!r} s".replace(".0 s", " s")
