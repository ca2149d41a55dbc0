# SPDX-License-Identifier: BSD-3-Clause
"""Which cases of a study deserve a picture: one of each response, and the worst of the bad ones."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

#: The four responses, harmless first.
RESPONSES = ("right", "none", "wrong", "uncommanded")


@dataclass(frozen=True)
class Pick:
    """A case and why it was picked."""

    number: int
    why: str


def badness(table: pd.DataFrame) -> pd.Series:
    """How bad each response is: uncommanded before wrong, then by the largest opening or error."""
    errors = table[["error_rest", "error_half", "error_full"]].abs().max(axis=1)
    size = errors.where(table["response"] != "uncommanded", table["unasked_opening"]).fillna(0.0)
    rank = table["response"].map({"uncommanded": 20.0, "wrong": 10.0}).astype(float)
    return (rank + size).fillna(0.0)


def swapped(table: pd.DataFrame) -> pd.Series:
    """What was swapped after the learn: "pedal", "body" or "" for cases that are not stale."""
    stale = table["learn"] == "stale"
    pedal = stale & (table["learned_pedal"] != table["pedal"])
    body = stale & (table["learned_body"] != table["body"])
    return pedal.map({True: "pedal", False: ""}) + body.map({True: "body", False: ""})


def choose(table: pd.DataFrame) -> list[Pick]:
    """The picks in the order of a page from top to bottom; the same table gives the same picks."""
    ranked = table.assign(swap=swapped(table), bad=badness(table)).sort_values(
        "bad", ascending=False, kind="stable"
    )
    fresh, never = ranked["learn"] == "fresh", ranked["learn"] == "none"
    faulty, believed = ranked["learn"] == "faulty", ranked["learn_accepted"].fillna(True).astype(bool)
    response, swap = ranked["response"], ranked["swap"].where(ranked["learn_accepted"].fillna(False), "")
    wanted = [
        ("before any learn: no response", never & (response == "none")),
        ("after the learn: the right response", fresh & (response == "right")),
        (
            "pedal swapped after the learn, detected in time: no response",
            (swap == "pedal") & (response == "none"),
        ),
        (
            "pedal swapped after the learn, believed: the worst uncommanded opening",
            (swap == "pedal") & (response == "uncommanded"),
        ),
        (
            "pedal swapped after the learn, believed: the worst wrong response",
            (swap == "pedal") & (response == "wrong"),
        ),
        (
            "body swapped after the learn, detected in time: no response",
            (swap == "body") & (response == "none"),
        ),
        (
            "body swapped after the learn, believed: the worst uncommanded opening",
            (swap == "body") & (response == "uncommanded"),
        ),
        (
            "body swapped after the learn, believed: the worst wrong response",
            (swap == "body") & (response == "wrong"),
        ),
        ("a disturbance of the learn that was refused", faulty & ~believed),
        (
            "a disturbance of the learn, accepted: the worst uncommanded opening",
            faulty & (response == "uncommanded"),
        ),
        ("a disturbance of the learn, accepted: the worst wrong response", faulty & (response == "wrong")),
        ("the learn was refused", fresh & ~ranked["learn_accepted"].fillna(True)),
        (
            "after the learn and yet not right",
            fresh & ranked["learn_accepted"].fillna(False) & ~response.isin(["right", ""]),
        ),
        ("before any learn and yet a response", never & ~response.isin(["none", ""])),
        ("the simulation failed", ranked["status"] == "numerical failure"),
    ]
    picks: dict[int, Pick] = {}
    for why, mask in wanted:
        if mask.any():
            number = int(ranked.index[mask][0])
            picks.setdefault(number, Pick(number, why))
    return list(picks.values())
