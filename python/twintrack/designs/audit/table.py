# SPDX-License-Identifier: BSD-3-Clause
"""The cases of an audit together: what is hazardous, and how much of it a set-up covers.

Coverage of a set-up is the share of hazardous cases that it detects in time:

    hazardous   a hazard without a monitor, or a hazard here
    coverage    hazardous and detected in time / hazardous,  classes low ≥ 60 %, medium ≥ 90 %, high ≥ 99 %

The classes are those of ISO 26262-5 as found in public texts. The interval is Wilson's for 95 % confidence.
Every case counts alike: no rate of occurrence is known, and the cases are a list, not a random sample.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...interval import wilson
from ...pages.severity import GRADES

if TYPE_CHECKING:
    import pandas as pd

#: The set-up that shows what a fault does without a monitor; it is always run, because coverage needs it.
UNWATCHED = "none"

CLASSES = (("high", 0.99), ("medium", 0.90), ("low", 0.60))
_COVERAGE = {"high": "high (≥ 99 %)", "medium": "medium (≥ 90 %)", "low": "low (≥ 60 %)"}

#: Stands beside every coverage.
CLAIM = (
    "The class words are those of ISO 26262-5. This is not diagnostic coverage as ISO 26262 computes it, "
    "which weighs by failure rates; no claim of conformity."
)

HEAD = ["set-up", "faults", "cases", "hazardous", "in time", "late", "missed", "coverage", "95 %", "class"]

_KEYS = ["pedal", "body", "fault", "instant"]


def judged(cases: pd.DataFrame) -> pd.DataFrame:
    """Adds ``hazard_unwatched`` and ``hazardous``; a case whose run without a monitor is missing has no
    grade."""
    import pandas as pd

    unwatched = cases[(cases["setup"] == UNWATCHED) & (cases["status"] == "completed")]
    known = unwatched.set_index(_KEYS)["hazard"]
    keys = pd.MultiIndex.from_frame(cases[_KEYS])
    harmful = known.reindex(keys).fillna(False).to_numpy(dtype=bool)
    cases = cases.assign(hazard_unwatched=harmful, hazardous=harmful | cases["hazard"].to_numpy(dtype=bool))
    blind = ~keys.isin(known.index) | (cases["status"] != "completed").to_numpy()
    cases.loc[blind, "grade"] = ""
    return cases


def faulty(cases: pd.DataFrame) -> pd.DataFrame:
    """The cases with a fault."""
    return cases[cases["fault"] != ""]


def coverage(cases: pd.DataFrame, setups: Sequence[str]) -> pd.DataFrame:
    """One row a set-up and group of faults ("all" first): hazardous, in time, share, interval, classes."""
    import pandas as pd

    ran = faulty(cases[["fault", "setup", "group", "grade", "hazardous"]])
    ran = ran[ran["grade"] != ""]
    rows = []
    for setup in setups:
        of = ran[ran["setup"] == setup]
        groups = {"all": of} | {str(name): part for name, part in of.groupby("group", sort=False)}
        for name, part in groups.items():
            bad = part[part["hazardous"]]
            caught = int((bad["grade"] == "in time").sum())
            low, high = wilson(caught, len(bad))
            share = caught / len(bad) if len(bad) else math.nan
            rows.append(
                {
                    "setup": setup,
                    "faults": name,
                    "cases": len(part),
                    "hazardous": len(bad),
                    "caught": caught,
                    "late": int((part["grade"] == "late").sum()),
                    "missed": int((part["grade"] == "hazard").sum()),
                    "coverage": share,
                    "low": low,
                    "high": high,
                    "class": coverage_class(share),
                    "class_of_low": coverage_class(low),
                }
            )
    return pd.DataFrame(rows)


def coverage_class(share: float) -> str:
    """``"high"``, ``"medium"``, ``"low"``, ``"below low"``, or ``""`` for no hazardous case."""
    if math.isnan(share):
        return ""
    return next((name for name, least in CLASSES if share >= least), "below low")


def coverage_rows(found: pd.DataFrame) -> list[list[str]]:
    """The table of coverage as text, by :data:`HEAD`."""
    return [
        [
            row["setup"],
            row["faults"],
            *(str(row[key]) for key in ("cases", "hazardous", "caught", "late", "missed")),
            percent(row["coverage"]),
            f"{percent(row['low'])} … {percent(row['high'])}" if row["hazardous"] else "",
            _COVERAGE.get(row["class"], row["class"]),
        ]
        for _, row in found.iterrows()
    ]


def headline(design: Any, cases: pd.DataFrame) -> str:
    """The answer in a few sentences."""
    ran = faulty(cases)
    ran = ran[ran["grade"] != ""]
    unwatched = ran[ran["setup"] == UNWATCHED]
    limit, time = design.hazard
    text = [
        f"{len(unwatched)} cases of a single fault; without a monitor {int(unwatched['hazard'].sum())} of "
        f"them are a HAZARD: the blade opens uncommanded by more than {100 * limit:g} % for longer than "
        f"{time:g} s."
    ]
    for _, row in coverage(cases, [name for name in design.setups if name != UNWATCHED]).iterrows():
        if row["faults"] == "all" and row["hazardous"]:
            text.append(
                f"The set-up '{row['setup']}' detects {percent(row['coverage'])} of the hazardous cases in "
                f"time, reacts too late in {row['late']} and misses {row['missed']}."
            )
    return " ".join(text)


def worst_cases(cases: pd.DataFrame, setup: str) -> dict[str, int]:
    """The number of the worst case of each kind of fault under a set-up, worst first."""
    ran = faulty(cases)
    ran = ran[(ran["setup"] == setup) & (ran["grade"] != "")]
    rank = ran["grade"].map({name: i for i, name in enumerate(GRADES)})
    ordered = ran.assign(rank=rank).sort_values(
        ["rank", "unasked_opening"], ascending=[True, False], kind="stable"
    )
    worst_first = ordered.drop_duplicates("kind")
    return {str(kind): int(str(number)) for number, kind in worst_first["kind"].items()}


def percent(share: float) -> str:
    """Rounded down, so that 100 % means all."""
    return "" if math.isnan(share) else f"{math.floor(1000 * share + 1e-9) / 10:g} %".replace("-", "−")


def ms(seconds: float) -> float | str:
    """A time in milliseconds; empty: none."""
    return "" if math.isnan(seconds) else round(1000 * seconds)
