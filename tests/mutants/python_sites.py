# SPDX-License-Identifier: BSD-3-Clause
"""Places of Python sources at which a small fault can be put in."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

_COMPARE = {ast.Lt: ["<=", ">="], ast.LtE: ["<", ">"], ast.Gt: [">=", "<="], ast.GtE: [">", "<"],
            ast.Eq: ["!="], ast.NotEq: ["=="], ast.In: ["not in"], ast.NotIn: ["in"],
            ast.Is: ["is not"], ast.IsNot: ["is"]}  # fmt: skip
_BINARY = {ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*"}


@dataclass(frozen=True)
class Site:
    """Characters ``begin`` … ``end`` of a file become ``text``."""

    begin: int
    end: int
    text: str
    what: str
    number: bool = False  # a number is changed


class _Source:
    """Offsets in characters of what the syntax tree counts in lines and bytes."""

    def __init__(self, text: str) -> None:
        self.lines = text.splitlines(keepends=True)
        self.starts = [0]
        for line in self.lines:
            self.starts.append(self.starts[-1] + len(line))

    def at(self, line: int, column: int) -> int:
        return self.starts[line - 1] + len(self.lines[line - 1].encode()[:column].decode())

    def span(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        return self.at(node.lineno, node.col_offset), self.at(node.end_lineno, node.end_col_offset)


def sites(text: str) -> list[Site]:
    """All sites of a source, in order."""
    source = _Source(text)
    found = [site for node in ast.walk(ast.parse(text)) for site in _of(node, source, text)]
    return sorted(found, key=lambda s: (s.begin, s.end, s.text))


def _of(node: ast.AST, source: _Source, text: str) -> Iterator[Site]:
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        begin, end = source.span(node.left)[1], source.span(node.comparators[0])[0]
        yield from _swapped(text, begin, end, _COMPARE[type(node.ops[0])])
    elif isinstance(node, ast.BoolOp):
        word, other = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
        begin, end = source.span(node.values[0])[1], source.span(node.values[1])[0]
        if word in text[begin:end]:
            yield Site(begin, end, text[begin:end].replace(word, other), f"{word} → {other}")
    elif isinstance(node, ast.BinOp) and type(node.op) in _BINARY:
        begin, end = source.span(node.left)[1], source.span(node.right)[0]
        yield from _swapped(text, begin, end, [_BINARY[type(node.op)]])
    elif isinstance(node, (ast.If, ast.IfExp)):
        begin, end = source.span(node.test)
        yield Site(begin, end, f"(not ({text[begin:end]}))", "condition negated")
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        begin, end = source.span(node)
        yield Site(begin, end, f"({text[begin:end]} + 1)", f"{text[begin:end]} → + 1", number=True)
    elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        begin, end = source.span(node)
        yield Site(begin, end, "pass", "call removed")


def _swapped(text: str, begin: int, end: int, others: list[str]) -> Iterator[Site]:
    """The operator between two operands; brackets and comments around it stay."""
    between = text[begin:end]
    operator = between.strip(" ()\n\\")
    if operator and "#" not in between and "\n" not in operator:
        for other in others:
            yield Site(begin, end, between.replace(operator, other, 1), f"{operator} → {other}")
