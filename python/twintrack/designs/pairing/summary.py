# SPDX-License-Identifier: BSD-3-Clause
"""The results of a study in words and tallies, for the terminal and for the report."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...pages.section import Cell, HeatMap
from .interest import RESPONSES, badness, swapped

if TYPE_CHECKING:
    import pandas as pd

#: What each group of cases is called, in the order in which it is told.
GROUPS = {
    "none": "no learn yet",
    "fresh": "learned with these parts",
    "pedal": "pedal swapped after the learn",
    "body": "body swapped after the learn",
    "faulty": "learned with a disturbance",
}


def group(table: pd.DataFrame) -> pd.Series:
    """The key of ``GROUPS`` each case belongs to."""
    swap = swapped(table)
    return swap.where(swap != "", table["learn"])


def tally(table: pd.DataFrame) -> dict[str, dict[str, int]]:
    """Number of cases by group and response; ``""``: not run; empty groups are left out."""
    groups = group(table)
    return {
        name: {
            response: int(((groups == name) & (table["response"] == response)).sum())
            for response in (*RESPONSES, "")
        }
        for name in GROUPS
        if (groups == name).any()
    }


def headline(table: pd.DataFrame) -> str:
    """The answer of the whole study in a few sentences."""
    counts = tally(table)
    learned = []
    if "none" in counts:
        mute, total = counts["none"]["none"], sum(counts["none"].values())
        said = (
            f"none of the {total} pairs responds"
            if mute == total
            else f"{mute} of {total} pairs do not respond"
        )
        learned.append(f"before any range learn {said}")
    if "fresh" in counts:
        learned.append(f"after it {_share(counts['fresh'], 'right')} pairs respond right")
    swaps = [
        f"{sum(counts[part].values())} {part} swaps give {_outcomes(counts[part])}"
        for part in ("pedal", "body")
        if part in counts
    ]
    text = [_sentence("", learned), _sentence("With no new learn ", swaps)]
    if "faulty" in counts:
        text.append(_disturbed_learns(table[table["learn"] == "faulty"]))
    if missing := sum(c[""] for c in counts.values()):
        text.append(f"Cases not run or not finished: {missing}.")
    return " ".join(part for part in text if part)


def _sentence(start: str, parts: list[str]) -> str:
    text = start + "; ".join(parts)
    return text[0].upper() + text[1:] + "." if parts else ""


def _disturbed_learns(table: pd.DataFrame) -> str:
    accepted = table[table["learn_accepted"].fillna(False).astype(bool)]
    counts = {answer: int((accepted["response"] == answer).sum()) for answer in RESPONSES}
    refused = int((table["learn_refusal"] != "").sum())
    given = f"; the {len(accepted)} that are accepted give {_outcomes(counts)}" if len(accepted) else ""
    return f"Of {len(table)} disturbed learns {refused} are refused{given}."


def _outcomes(counts: dict[str, int]) -> str:
    """``"304 × no response, 24 × WRONG, 8 × UNCOMMANDED"``; what did not happen is left out."""
    words = {"right": "right", "none": "no response", "wrong": "WRONG", "uncommanded": "UNCOMMANDED"}
    return ", ".join(f"{counts[answer]} × {word}" for answer, word in words.items() if counts[answer])


def _share(counts: dict[str, int], answer: str) -> str:
    total = sum(counts.values())
    return f"all {total}" if counts[answer] == total else f"{counts[answer]} of {total}"


def note(row: pd.Series) -> str:
    """The few characters under a response: how far off [% of travel], or the first trouble code."""
    if row["response"] == "uncommanded":
        return f"{100 * row['unasked_opening']:.0f} % beyond"
    if row["response"] == "wrong":
        errors = row[["error_rest", "error_half", "error_full"]].abs()
        return f"{100 * errors.max():.0f} % off"
    if row["response"] != "none":
        return ""
    return "learn refused" if row["learn_accepted"] is False else str(row["codes"]).split(" ")[0]


def matrices(table: pd.DataFrame) -> list[HeatMap]:
    """One matrix a group: pedals × bodies before and after the learn, then learned with × plugged in."""
    pair = table["pedal"] + " + " + table["body"]
    table = table.assign(group=group(table), bad=badness(table), pair=pair)
    pedals, bodies = list(table["pedal"].unique()), list(table["body"].unique())
    plugged = (pedals, bodies, ["pedal", "body"], "pedal", "throttle body")
    described = {
        "none": ("Before any learn", *plugged),
        "fresh": ("After a range learn of the pair", *plugged),
        "pedal": ("Pedal swapped after the learn (worst over the bodies)", pedals, pedals,
                  ["pedal", "learned_pedal"], "plugged in now", "learned with"),
        "body": ("Body swapped after the learn (worst over the pedals)", bodies, bodies,
                 ["body", "learned_body"], "plugged in now", "learned with"),
        "faulty": ("Learned with a disturbance", _faulty(table, "learn_disturbance"), _faulty(table, "pair"),
                   ["learn_disturbance", "pair"], "disturbance of the learn", "pair"),
    }  # fmt: skip
    found = []
    for name, (title, rows, columns, keys, row_title, column_title) in described.items():
        part = table[table["group"] == name]
        if len(part):
            found.append(HeatMap(title, row_title, column_title, rows, columns, _worst(part, keys)))
    return found


def _faulty(table: pd.DataFrame, column: str) -> list[str]:
    return list(table.loc[table["learn"] == "faulty", column].unique()) if column in table else []


def _worst(table: pd.DataFrame, keys: list[str]) -> dict[tuple[str, str], Cell]:
    """The worst case of each pair, among equals the first; right outranks none, since it drives."""
    order = table.assign(rank=table["bad"] + (table["response"] == "right")).sort_values(
        "rank", ascending=False, kind="stable"
    )
    return {
        (row[keys[0]], row[keys[1]]): Cell(row["response"], note(row))
        for _, row in order.drop_duplicates(keys).iterrows()
    }


def learned(row: pd.Series) -> str:
    """What was learned with, in words."""
    if row["learn"] == "none":
        return "nothing learned"
    disturbed_learn = f" ({row['learn_disturbance']})" if row["learn"] == "faulty" else ""
    return f"{row['learned_pedal']} + {row['learned_body']}{disturbed_learn}"
