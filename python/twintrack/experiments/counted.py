# SPDX-License-Identifier: BSD-3-Clause
"""Counts of the grades, piece by piece, of a design with too many cases for its own tables.

Its cases are a list, no sample, so a share of them is no probability.
"""

from __future__ import annotations

from typing import Any

from ..pages.section import Cell, Section, Table
from ..pages.severity import LOOKS

HEAD = ["grade", "cases", "share of all"]


def rows(result: Any) -> list[tuple[str, int, str]]:
    """Each grade that there is, the worst first: word, cases, share of the completed ones."""
    counts = result.counts(["grade", "status"])
    counts = counts[counts["status"] == "completed"].set_index("grade")["cases"]
    total = int(counts.sum())
    order = [word for word in LOOKS if word and word in counts.index]
    return [(word, int(counts[word]), f"{100 * counts[word] / total:.3g} %") for word in order]


def headline(result: Any) -> str:
    """The answer in a sentence."""
    found = {word: cases for word, cases, _ in rows(result)}
    hits = found.get("hazard", 0) + found.get("late", 0)
    text = f"{hits:,} of {sum(found.values()):,} cases are a HAZARD"
    missed = found.get("missed", 0)
    return f"{text}; in {missed:,} the response is WRONG and no check detects it." if missed else f"{text}."


def sections(result: Any) -> list[Section]:
    table = Table(HEAD, [(Cell(word), cases, share) for word, cases, share in rows(result)])
    return [Section("Cases by grade", [table])]
