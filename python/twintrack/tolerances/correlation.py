# SPDX-License-Identifier: BSD-3-Clause
"""Parameters that scatter together: the tables ``[[correlated]]``.

[[correlated]]
parameters = ["pedal.tracks[1].ratio", "pedal.tracks[2].ratio"]
rank_correlation = 0.8
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import closest, listing
from ..files.toml_file import TomlFile
from .sampling import pearson, root


@dataclass(frozen=True)
class Correlation:
    """Each two of ``parameters`` have this rank correlation (Spearman's)."""

    parameters: tuple[str, ...]
    rank: float


def mixing(
    correlations: Sequence[Correlation], names: Sequence[str]
) -> tuple[list[int], NDArray[np.float64]] | None:
    """Columns that hang together, and what mixes them; ``None`` when the correlations contradict each
    other."""
    columns = sorted({names.index(name) for group in correlations for name in group.parameters})
    matrix = np.eye(len(columns))
    for group in correlations:
        places = [columns.index(names.index(name)) for name in group.parameters]
        for i in places:
            for j in places:
                if i != j:
                    matrix[i, j] = pearson(group.rank)
    mixed = root(matrix) if columns else matrix
    return None if mixed is None else (columns, mixed)


def from_file(file: TomlFile, names: Sequence[str]) -> tuple[Correlation, ...]:
    """The correlations of a study whose tolerances have these names."""
    entries = file.table.get("correlated", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        file.fail(("correlated",), "must be tables ([[correlated]])")
    found = []
    for i, entry in enumerate(entries):
        place = ("correlated", i)
        file.only(place, entry, ["parameters", "rank_correlation"])
        group = entry.get("parameters")
        if not isinstance(group, list) or len(group) < 2:
            file.fail((*place, "parameters"), "must be a list of two or more names")
        for name in group:
            if name not in names:
                hint = closest(str(name), names)
                file.fail(
                    (*place, "parameters"), f"{name!r} has no tolerance{hint} (there are: {listing(names)})"
                )
            if group.count(name) > 1:
                file.fail((*place, "parameters"), f"{name!r} is given twice")
        rank = entry.get("rank_correlation")
        if type(rank) not in (int, float) or not -1 <= rank <= 1:
            file.fail((*place, "rank_correlation"), "must be a number from -1 to 1", rank)
        found.append(Correlation(tuple(group), float(rank)))
    if mixing(found, names) is None:
        file.fail(("correlated",), "these correlations contradict each other (no sample can have them all)")
    return tuple(found)
