# SPDX-License-Identifier: BSD-3-Clause
"""Parts of a report, as plain data: text, cards, heat maps, tables, curves, traces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple


class Cell(NamedTuple):
    """One field of a heat map: a word of the scale of severity, and a few characters below it."""

    word: str
    note: str = ""


@dataclass(frozen=True)
class HeatMap:
    """``cells`` maps (row, column) to what stands there; absent ones stay empty. Columns that are named
    ``"group|name"`` stand below a head of their group."""

    title: str
    row_title: str
    column_title: str
    rows: Sequence[str]
    columns: Sequence[str]
    cells: Mapping[tuple[str, str], Cell]
    narrow: bool = False  #: symbols only, for many columns


@dataclass(frozen=True)
class Table:
    """A table to sort and filter; cells are texts, numbers, or :class:`Cell` for a word of the scale."""

    head: Sequence[str]
    rows: Sequence[Sequence[Any]]
    title: str = ""
    more: int = 0  #: rows that were left out


@dataclass(frozen=True)
class Lines:
    """Curves over one axis, to be zoomed, with values on hover: name → values; ``marks``: (x, text)."""

    title: str
    x: Sequence[float]
    curves: Mapping[str, Sequence[float]]
    x_label: str
    y_label: str
    marks: Sequence[tuple[float, str]] = ()
    dots: bool = False
    together: bool = False  #: pointer and zoom are those of all such charts of the page
    high: int = 0  #: height [px]; 0: by the width


@dataclass(frozen=True)
class Bars:
    """Shares with their intervals: (word or name, share, low, high, text)."""

    rows: Sequence[tuple[str, float, float, float, str]]
    title: str = ""
    limit: float | None = None  #: a line to compare with


@dataclass(frozen=True)
class Picture:
    """An SVG drawing."""

    title: str
    svg: str


Part = str | HeatMap | Table | Lines | Bars | Picture


@dataclass(frozen=True)
class Section:
    """A heading and what stands below it; a text is a paragraph."""

    title: str
    parts: Sequence[Part] = field(default_factory=tuple)
