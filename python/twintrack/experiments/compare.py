# SPDX-License-Identifier: BSD-3-Clause
"""Two results side by side: what was changed in the study, and which verdicts moved.

Cases belong together when the same parts are plugged in and learned with, under the same fault, set-up and
draw; the number of a case does not count.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..pages.severity import GRADES
from .result import Result
from .store import differences

if TYPE_CHECKING:
    import pandas as pd

_PLUGGED = ("pedal", "body", "learn", "learned_pedal", "learned_body", "learn_disturbance", "fault")

#: Columns of the scale of severity that are compared beside the rules.
_SCALE = ("grade", "response", "reaction", "codes")

COLUMNS = [
    "case before",
    "case after",
    "case",
    "what",
    "before",
    "after",
    "margin before",
    "margin after",
    "worse",
]


@dataclass(frozen=True)
class Comparison:
    """``changed``: (key, before, after) of the study; ``moved``: a table by :data:`COLUMNS`, margins as
    shares of the limit; ``shared``: cases that both have; ``only``: how many one alone has."""

    changed: list[tuple[str, str, str]]
    moved: pd.DataFrame
    shared: int
    only: tuple[int, int]
    names: tuple[str, str]

    @property
    def worse(self) -> int:
        """How many rules are failed now, or grades graver."""
        return int(self.moved["worse"].sum())

    @property
    def headline(self) -> str:
        """The answer in a few sentences."""
        verdicts = self.moved[self.moved["what"].str.startswith(("rule:", "grade"))]
        moved = f"{len(verdicts)} of their verdicts moved, {self.worse} for the worse."
        text = f"{self.shared:,} cases are in both; {moved}"
        for name, count in zip(self.names, self.only, strict=True):
            if count:
                text += f" {count:,} cases are in {name} only."
        return text


def compare(before: Result, after: Result) -> Comparison:
    """What moved between two results."""
    tables = [_table(result) for result in (before, after)]
    left, right = tables
    both = left.index.intersection(right.index, sort=False)
    rows = [row for key in both for row in _moved(before, after, left.loc[key], right.loc[key])]
    import pandas as pd

    moved = pd.DataFrame(rows, columns=COLUMNS)
    moved["worse"] = moved["worse"].astype(bool)
    return Comparison(
        _changed(before, after),
        moved,
        len(both),
        (len(left) - len(both), len(right) - len(both)),
        (str(before.folder), str(after.folder)),
    )


def _table(result: Result) -> pd.DataFrame:
    """The cases by what they are."""
    table = result.table.reset_index()
    own = [name for name, empty in result.plan.design.columns.items() if isinstance(empty, str)]
    keys = [*_PLUGGED, *own, *result.plan.names]
    names = [[f"{name}={value!r}" for name, value in zip(keys, row, strict=True)]
             for row in table[keys].itertuples(index=False, name=None)]  # fmt: skip
    table["key"] = ["; ".join(name) for name in names]
    table["key"] += "; " + table.groupby("key").cumcount().astype(str)
    return table.set_index("key")


def _moved(before: Result, after: Result, a: Any, b: Any) -> Iterable[tuple[Any, ...]]:
    label = before.plan.design.label(before.plan.spec(int(a["case"])))
    head = (int(a["case"]), int(b["case"]), label)
    for name in _SCALE:
        if name in a and name in b and a[name] != b[name]:
            worse = name == "grade" and _rank(b[name]) < _rank(a[name])
            yield (*head, name, a[name], b[name], math.nan, math.nan, worse)
    for column in a.index:
        if column.startswith("rule: ") and column in b and a[column] != b[column]:
            margin = column.replace("rule: ", "margin: ", 1)
            yield (*head, column, a[column], b[column], a[margin], b[margin], b[column] == "failed")


def _rank(grade: str) -> int:
    return GRADES.index(grade) if grade in GRADES else len(GRADES)


def _changed(before: Result, after: Result) -> list[tuple[str, str, str]]:
    old, new = before.plan.essence(), after.plan.essence()
    return [(name, _at(old, name), _at(new, name)) for name in differences(old, new)]


def _at(values: Any, name: str) -> str:
    """The value at a dotted name, as text; of a group how much there is."""
    for step in name.replace("[", ".[").split("."):
        if step.startswith("["):
            index = int(step[1:-1]) - 1
            values = values[index] if isinstance(values, list) and index < len(values) else None
        elif isinstance(values, dict):
            values = values.get(step)
    text = json.dumps(values, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}…"
