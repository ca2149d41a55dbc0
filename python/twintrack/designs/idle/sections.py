# SPDX-License-Identifier: BSD-3-Clause
"""The maps of an idle as tallies, sentences and sections of the report."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from ... import _core
from ...pages.section import Cell, HeatMap, Lines, Part, Section, Table
from ...pages.severity import LOOKS
from ...units import show
from ..shown import traces

if TYPE_CHECKING:
    import pandas as pd

_GRADES = ("hazard", "late", "missed", "refused", "in time", "not needed")
HEAD = ["pair and map", *(LOOKS[grade].word for grade in _GRADES)]

_TITLES = {
    "throttle": "Throttle tracks that do not match the learn: engine speed, foot off",
    "pedal": "Pedal tracks that do not match the learn: engine speed, foot off",
}


def _maps(table: pd.DataFrame) -> Iterator[tuple[str, str, pd.DataFrame]]:
    """Pair, name of the map, its rows."""
    for (pedal, body), of in table[table["status"] == "completed"].groupby(["pedal", "body"], sort=False):
        for assembly, part in of[of["assembly"] != ""].groupby("assembly", sort=False):
            yield f"{pedal} with {body}", f"mismatches of the {assembly}'s tracks", part
        for strictness, part in of[of["strictness"] != ""].groupby("strictness", sort=False):
            yield f"{pedal} with {body}", f"disturbed learns, {strictness} limits", part


def tally(table: pd.DataFrame) -> list[list[str]]:
    """Number of cases by map and grade."""
    return [
        [f"{pair}: {name}", *(str(int((part["grade"] == g).sum())) for g in _GRADES)]
        for pair, name, part in _maps(table)
    ]


def headline(table: pd.DataFrame) -> str:
    """What the maps say of each pair."""
    text: list[str] = []
    last = ""
    for pair, name, part in _maps(table):
        text += [f"{pair}:"] if pair != last else []
        last = pair
        text.append(_sentence(name, part))
    return " ".join(text)


def _sentence(name: str, part: pd.DataFrame) -> str:
    n = part["grade"].value_counts()
    detected = int(n.get("in time", 0) + n.get("late", 0) + n.get("refused", 0))
    hazards, wrong = int(part["hazard"].sum()), int(n.get("missed", 0))
    text = f"Of {len(part)} {name} {detected} are detected; {hazards} are a HAZARD, {wrong} idle WRONG "
    text += "undetected"
    silent = part[part["grade"].isin(["hazard", "missed"])]
    if len(silent) and "mismatches" in name:
        worst = silent.sort_values("idle_rpm", ascending=False, kind="stable").iloc[0]
        off = f"{100 * worst['track1']:+.0f} and {100 * worst['track2']:+.0f} %".replace("-", "−")
        text += f"; the fastest of those idles at {worst['idle_rpm']:.0f} rpm with the tracks off by {off}"
    return text + "."


def sections(design: Any, result: Any, table: pd.DataFrame) -> list[Section]:
    found = []
    done = table[table["status"] == "completed"]
    for (pedal, body), of in done.groupby(["pedal", "body"], sort=False):
        pair = f"{pedal} with {body}"
        mismatch = of[of["assembly"] != ""]
        maps: list[Part] = [_field(mismatch, assembly) for assembly in mismatch["assembly"].unique()]
        found.append(Section(f"Mismatched tracks: {pair}", [*maps, *_alone(mismatch)]))
        disturbances = of[of["strictness"] != ""]
        learns: list[Part] = [
            _disturbances(disturbances, s, design.severities) for s in disturbances["strictness"].unique()
        ]
        found.append(Section(f"Disturbed learns: {pair}", [*learns, _refused(disturbances)]))
    worst = done[done["grade"].isin(["hazard", "late", "missed"])].sort_values("idle_rpm", kind="stable")
    worst = worst.drop_duplicates("grade", keep="last")
    why = {int(str(n)): LOOKS[str(g)].word for n, g in worst["grade"].items()}
    return [*found, Section("Traces", traces(result, why))]


def _percent(share: float) -> str:
    return f"{100 * share:+.0f} %".replace("-", "−").replace("+0 %", "0 %").replace("−0 %", "0 %")


def _field(table: pd.DataFrame, assembly: str) -> HeatMap:
    rows = table[(table["assembly"] == assembly) & (table["track3"] == 0.0)]
    axis = sorted(rows["track1"].unique())
    cells = {
        (_percent(y), _percent(x)): Cell(grade, f"{rpm:.0f} rpm")
        for x, y, grade, rpm in zip(
            rows["track1"], rows["track2"], rows["grade"], rows["idle_rpm"], strict=True
        )
    }
    names = [_percent(share) for share in axis]
    return HeatMap(
        _TITLES[assembly], "track 2 reads too high by", "track 1", names[::-1], names, cells, narrow=True
    )


def _alone(table: pd.DataFrame) -> list[Part]:
    """Engine speed against the mismatch of each track alone."""
    found: list[Part] = []
    for assembly in table["assembly"].unique():
        curves, x = {}, []
        for track in (1, 2, 3):
            others = [f"track{k}" for k in (1, 2, 3) if k != track]
            rows = table[(table["assembly"] == assembly) & (table[others] == 0.0).all(axis=1)]
            rows = rows.sort_values(f"track{track}")
            if len(rows) > 1:
                x = [round(100 * share, 3) for share in rows[f"track{track}"]]
                curves[f"{assembly} track {track}"] = [round(rpm, 1) for rpm in rows["idle_rpm"]]
        title = f"Idle speed against the mismatch of each {assembly} track alone"
        label = "the track reads too high by [% of its range]"
        found.append(Lines(title, x, curves, label, "idle speed, foot off [rpm]", dots=True))
    return found


def _name(row: Any) -> str:
    return f"{row['disturbance'].replace('_', ' ')}{', ' + row['where'] if row['where'] else ''}"


def _disturbances(table: pd.DataFrame, strictness: str, degrees: int) -> HeatMap:
    units = {kind.name: kind.unit for kind in _core.disturbance_catalogue()}
    of = table[table["strictness"] == strictness]
    columns = ["hardly", *(str(k + 1) for k in range(1, degrees - 1)), "badly"]
    cells: dict[tuple[str, str], Cell] = {}
    rows: dict[str, None] = {}
    for _, row in of.iterrows():
        amount = "" if math.isnan(row["amount"]) else f"{show(row['amount'], units[row['disturbance']])}: "
        name = _name(row)
        rows[name] = None
        cells[name, columns[row["degree"]]] = Cell(row["grade"], f"{amount}{row['idle_rpm']:.0f} rpm")
    return HeatMap(f"Learn with {strictness} limits", "disturbance", "", [*rows], columns, cells)


def _refused(table: pd.DataFrame) -> Table:
    """Disturbance, limits and reason, each once."""
    refused = table[table["learn_accepted"].eq(False).fillna(False).astype(bool)]
    once = refused.drop_duplicates(["strictness", "disturbance", "where"])
    rows = [(_name(row), row["strictness"], row["learn_reason"]) for _, row in once.iterrows()]
    return Table(["disturbance", "limits", "refused because"], rows)
