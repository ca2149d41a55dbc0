# SPDX-License-Identifier: BSD-3-Clause
"""How the engines of a study idled: columns of the results, and rows for terminal and report."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from ..pages.section import Cell, Table
from ..units import RPM

if TYPE_CHECKING:
    import pandas as pd


EMPTY: dict[str, Any] = {
    "idle_finding": "",
    "idle_rpm": math.nan,
    "idle_deviation_rpm": math.nan,
    "idle_hunting_rpm": math.nan,
    "idle_hunting_period_s": math.nan,
    "idle_settling_time_s": math.nan,
    "idle_stalls": math.nan,
    "idle_air_g_s": math.nan,
    "idle_opening": math.nan,
    "idle_authority": math.nan,
    "idle_load_dip_rpm": math.nan,
    "idle_return_time_s": math.nan,
    "idle_highest_rpm": math.nan,
    "idle_stop_time_s": math.nan,
    "idle_sentence": "",
}


def columns(idle: Any) -> dict[str, Any]:
    """The columns of one case from its :class:`IdleReport`; rpm and g/s where the name says so."""
    return {
        "idle_finding": idle.finding,
        "idle_rpm": idle.speed / RPM,
        "idle_deviation_rpm": idle.deviation / RPM,
        "idle_hunting_rpm": idle.hunting / RPM,
        "idle_hunting_period_s": idle.hunting_period,
        "idle_settling_time_s": idle.settling_time,
        "idle_stalls": float(idle.stalls),
        "idle_air_g_s": 1000.0 * idle.air_flow,
        "idle_opening": idle.opening,
        "idle_authority": idle.authority,
        "idle_load_dip_rpm": idle.load_dip / RPM,
        "idle_return_time_s": idle.return_time,
        "idle_highest_rpm": idle.highest / RPM,
        "idle_stop_time_s": idle.stop_time,
        "idle_sentence": idle.sentence,
    }


#: The grade that each finding of the core's report stands for, and its words for a headline.
FINDINGS = {
    "right": ("not needed", "within the band"),
    "noticed": ("in time", "detected"),
    "wrong": ("missed", "WRONG, missed"),
    "dangerous": ("hazard", "HAZARD"),
}


def headline(table: pd.DataFrame) -> str:
    """How they idled in a sentence or two."""
    counts = table["idle_finding"].value_counts()
    told = [f"{counts[name]} × {words}" for name, (_, words) in FINDINGS.items() if name in counts]
    text = f"Idle, foot off: {', '.join(told)}."
    worst = table.loc[table["idle_finding"].isin(["wrong", "dangerous"])]
    if len(worst):
        row = worst.sort_values("idle_highest_rpm", ascending=False, kind="stable").iloc[0]
        text += f" The worst, {row['pedal']} with {row['body']} ({row['learn']}): {row['idle_sentence']}"
    return text


#: Head, column and format of what is shown of each case.
_SHOWN = (
    ("idles at [rpm]", "idle_rpm", "{:.0f}"),
    ("off set point [rpm]", "idle_deviation_rpm", "{:+.0f}"),
    ("hunts by [rpm]", "idle_hunting_rpm", "{:.0f}"),
    ("period [s]", "idle_hunting_period_s", "{:.2f}"),
    ("settles in [s]", "idle_settling_time_s", "{:.1f}"),
    ("stalls", "idle_stalls", "{:.0f}"),
    ("air [g/s]", "idle_air_g_s", "{:.2f}"),
    ("blade [% open]", "idle_opening", "{:.1%}"),
    ("air left [%]", "idle_authority", "{:.0%}"),
    ("dip at load [rpm]", "idle_load_dip_rpm", "{:.0f}"),
    ("back in band [s]", "idle_return_time_s", "{:.2f}"),
    ("stops after key-off [s]", "idle_stop_time_s", "{:.2f}"),
)


def heads() -> list[str]:
    return [head for head, _, _ in _SHOWN]


def cells(row: Any) -> list[str]:
    """One case in text; "never" where a time has no end."""
    return [_cell(row[column], shape, column) for _, column, shape in _SHOWN]


def _cell(value: float, shape: str, column: str) -> str:
    if math.isinf(value):
        return "never"
    if not math.isnan(value):
        if "%" in shape:
            return shape.format(round(value, 3) + 0.0).replace("%", "").replace("-", "−")
        return shape.format(value).replace("-", "−")
    return "never" if column in ("idle_settling_time_s", "idle_return_time_s") else "–"


def table(cases: pd.DataFrame, most: int = 200) -> Table:
    """The cases, worst first."""
    order = {name: k for k, name in enumerate(reversed([*FINDINGS]))}
    ranked = cases.assign(rank=cases["idle_finding"].map(order)).sort_values("rank", kind="stable")
    rows = [
        (Cell(FINDINGS.get(row["idle_finding"], ("",))[0]), case(row), *cells(row), row["codes"])
        for _, row in ranked.head(most).iterrows()
    ]
    head = ["grade", "case", *heads(), "trouble codes"]
    return Table(head, rows, "Highest severity first", max(0, len(cases) - most))


def case(row: Any) -> str:
    text = f"{row['pedal']} + {row['body']}, {row['learn']}"
    if row["learn"] == "stale":
        swapped = row["learned_pedal"] if row["learned_pedal"] != row["pedal"] else row["learned_body"]
        text += f" (learned with {swapped})"
    return text + (f": {row['fault']}" if row.get("fault") else "")
