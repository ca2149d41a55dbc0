# SPDX-License-Identifier: BSD-3-Clause
"""Places of C++ sources at which a small fault can be put in, and the text that chooses it at run time.

A site replaces an expression by ``(TWINTRACK_MUTANT(7) ? faulty : right)``, so that one build holds all
mutants. Sites are found in the text, not in a syntax tree: clang-format's spaces tell a comparison from
a template. What does not compile in the end (a constant expression, a text that is subtracted) is left
out by the caller.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

#: Binary operators with what they become, and how tightly they bind.
SWAPS = {
    "||": (["&&"], 1),
    "&&": (["||"], 2),
    "|": (["&"], 3),
    "&": (["|"], 4),
    "==": (["!="], 5),
    "!=": (["=="], 5),
    "<": (["<=", ">="], 6),
    "<=": (["<", ">"], 6),
    ">": ([">=", "<="], 6),
    ">=": ([">", "<"], 6),
    "+": (["-"], 8),
    "-": (["+"], 8),
    "*": (["/"], 9),
    "/": (["*"], 9),
}
_OPERATOR = re.compile(r" (\|\||&&|==|!=|<=|>=|\||&|<|>|\+|-|\*|/)(?= )")
_TOKEN = re.compile(
    r" (?:\|\||&&|==|!=|<=|>=|<<|>>|[|&<>+*/%-]|[+*/-]?=)(?=\s)"
    r"|[()\[\]{};,?]|(?<!:):(?!:)|\b(?:return|else|case)\b"
)
_LITERAL = re.compile(r"(?<![\w.'])(\d+\.\d*(?:e[+-]?\d+)?|\d+)(?![\w.'])")
_STATEMENT = re.compile(r"^ +(?:[\w.>\[\]-]+ (?:[+-]?=) [^;{}]+|[\w.:>-]+\([^;{}]*\));$", re.M)
_IF = re.compile(r"\bif \(")

#: Lines that must stay constant expressions, or hold no code that runs.
_CONSTANT = re.compile(
    r"constexpr|static_assert|^\s*(#|using|template|case|enum|friend|namespace)|operator|= default"
)
#: A member or a constant with its default: data, not code.
_DATA = re.compile(r"^\s*(static |inline |const )*[\w:<>]+ \w+ ?(=|\{)[^()]*;")


@dataclass(frozen=True)
class Site:
    """Characters ``begin`` … ``end`` of a file become ``text``; "@" stands for the mutant's condition."""

    begin: int
    end: int
    text: str
    what: str


def blanked(source: str) -> str:
    """The source, equally long, without comments and texts."""

    def blank(match: re.Match[str]) -> str:
        return re.sub(r"[^\n]", '"' if match[0].startswith('"') else " ", match[0])

    return re.sub(r"//[^\n]*|/\*.*?\*/|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])'", blank, source, flags=re.S)


def sites(source: str) -> list[Site]:
    """All sites of a source, in order."""
    code = blanked(source)
    found = [
        *_binary(source, code),
        *_literals(source, code),
        *_statements(source, code),
        *_conditions(source, code),
    ]
    skipped = _constant_parts(code)
    return sorted(
        (s for s in found if not any(a <= s.begin < b for a, b in skipped)),
        key=lambda s: (s.begin, s.end, s.text),
    )


def _constant_parts(code: str) -> list[tuple[int, int]]:
    """Lines, and bodies of functions, that are constant expressions."""
    parts = []
    for line in re.finditer(r"[^\n]*\n", code):
        if not _CONSTANT.search(line[0]):
            continue
        end = line.end()
        if "constexpr" in line[0] and line[0].rstrip().endswith("{"):
            depth = 1
            while depth and end < len(code):
                depth += {"{": 1, "}": -1}.get(code[end], 0)
                end += 1
        parts.append((line.start(), end))
    return parts


def _binary(source: str, code: str) -> list[Site]:
    found = []
    for match in _OPERATOR.finditer(code):
        operator = match[1]
        others, binds = SWAPS[operator]
        at = match.start(1)
        begin, end = _left(code, match.start(), binds), _right(code, at + len(operator), binds)
        if begin is None or end is None or '"' in code[begin:end] or "<<" in code[begin:end]:
            continue
        left, right = source[begin:at].strip(), source[at + len(operator) : end].strip()
        if not left or not right or left.endswith(("const", "auto")):
            continue
        lead = source[begin : begin + len(source[begin:at]) - len(source[begin:at].lstrip())]
        for other in others:
            text = f"{lead}(@ ? ({left} {other} {right}) : ({left} {operator} {right}))"
            found.append(Site(begin, end, text, f"{operator} → {other}"))
    return found


def _binds(token: str) -> int:
    """How tightly a token binds; 0: it ends any expression."""
    token = token.strip()
    if token in ("<<", ">>"):
        return 7
    return 9 if token == "%" else SWAPS[token][1] if token in SWAPS else 0


def _left(code: str, at: int, binds: int) -> int | None:
    """Where the left operand of an operator that ends before ``at`` begins."""
    window = max(0, at - 400)
    depth = 0
    for token in reversed(list(_TOKEN.finditer(code, window, at))):
        text = token[0].strip()
        if text in (")", "]"):
            depth += 1
        elif text in ("(", "["):
            if depth == 0:
                return token.end()
            depth -= 1
        elif (depth == 0 and text in ("{", "}", ";")) or (depth == 0 and _binds(text) < binds):
            return token.end()
    return None


def _right(code: str, at: int, binds: int) -> int | None:
    depth = 0
    for token in _TOKEN.finditer(code, at, at + 400):
        text = token[0].strip()
        if text in ("(", "[", "{"):
            depth += 1
        elif text in (")", "]", "}"):
            if depth == 0:
                return token.start()
            depth -= 1
        elif depth == 0 and _binds(text) <= binds:
            return token.start()
    return None


def _line(code: str, at: int) -> str:
    return code[code.rfind("\n", 0, at) + 1 : code.find("\n", at)]


def _literals(source: str, code: str) -> list[Site]:
    found = []
    for match in _LITERAL.finditer(code):
        if _DATA.match(_line(code, match.start())) or code[match.end() : match.end() + 1] == ">":
            continue
        text = match[1]
        other = f"{text} + 1" if "." not in text else "0.1" if float(text) == 0.0 else f"1.1 * {text}"
        found.append(Site(match.start(), match.end(), f"(@ ? {other} : {text})", f"{text} → {other}"))
    return found


def _statements(source: str, code: str) -> list[Site]:
    return [
        Site(m.start(), m.end(), f"{{ if (!@) {source[m.start() : m.end()].strip()} }}", "statement removed")
        for m in _STATEMENT.finditer(code)
        if not m[0].strip().startswith(("return", "throw", "delete", "assert"))
    ]


def _conditions(source: str, code: str) -> list[Site]:
    found = []
    for match in _IF.finditer(code):
        depth, end = 1, match.end()
        while depth and end < len(code):
            depth += {"(": 1, ")": -1}.get(code[end], 0)
            end += 1
        inside = code[match.end() : end - 1]
        if ";" not in inside and " = " not in inside:
            text = f"static_cast<bool>({source[match.end() : end - 1]}) != @"
            found.append(Site(match.end(), end - 1, text, "condition negated"))
    return found
