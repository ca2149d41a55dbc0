# SPDX-License-Identifier: BSD-3-Clause
"""The cases of an audit as tables: what each fault came to, and how much of the danger a set-up covers.

Coverage of a set-up is the share of dangerous cases that it catches in time:

    dangerous   harmful when nobody looks, or harmful here
    caught      dangerous, detected and not harmful
    coverage    caught / dangerous,  classes low ≥ 60 %, medium ≥ 90 %, high ≥ 99 %

The classes are those of ISO 26262-5 as found in public texts. The interval is Wilson's for 95 % confidence.
Every case counts alike: no rate of occurrence is known, and the cases are a list, not a random sample.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ..interval import wilson
from . import engine as audit_engine
from .judge import EMPTY, OFF
from .study import UNWATCHED, AuditCase

if TYPE_CHECKING:
    import pandas as pd

#: What a case can come to, worst first, in words.
FINDINGS = {
    "missed": "dangerous, undetected",
    "vain": "detected, harmful all the same",
    "caught": "dangerous, caught in time",
    "noticed": "harmless, detected",
    "harmless": "harmless, undetected",
    "": "not run",
}

CLASSES = (("high", 0.99), ("medium", 0.90), ("low", 0.60))

_KEYS = ["pedal", "body", "fault", "instant"]


def cases(
    listed: Sequence[AuditCase], starts: Sequence[float], rows: Sequence[dict[str, Any] | None]
) -> pd.DataFrame:
    """One row a case, in order; what is dangerous follows from the run that nobody watches."""
    import pandas as pd

    table = pd.DataFrame(
        [
            {
                "pedal": case.pedal,
                "body": case.body,
                "setup": case.setup,
                "fault": case.fault.label if case.fault else "",
                "kind": case.fault.kind if case.fault else "",
                "group": case.fault.group if case.fault else "",
                "amount": case.fault.amount if case.fault else math.nan,
                "instant": case.instant,
                "start_s": start,
            }
            | (row or {**EMPTY, "freeze_frame": "", "rules_failed": ""})
            for case, start, row in zip(listed, starts, rows, strict=True)
        ]
    )
    table.index.name = "case"
    engine = [column for column in audit_engine.COLUMNS if column in table]
    table[engine] = table[engine].fillna("")  # of what was not run
    unwatched = table[(table["setup"] == UNWATCHED) & (table["status"] != "not run")]
    known = unwatched.set_index(_KEYS)["harmful"]
    keys = pd.MultiIndex.from_frame(table[_KEYS])
    table["dangerous"] = known.reindex(keys, fill_value=False).to_numpy() | table["harmful"]
    table["finding"] = [_finding(row) for _, row in table.iterrows()]
    table.loc[~keys.isin(known.index), "finding"] = ""  # nothing to compare with
    return table


def _finding(row: pd.Series) -> str:
    if row["status"] != "completed":
        return ""
    if row["detected_by"]:
        return "vain" if row["harmful"] else "caught" if row["dangerous"] else "noticed"
    return "missed" if row["harmful"] else "harmless"


def worst(findings: Any) -> str:
    """The worst of several findings."""
    there = set(findings)
    return next((name for name in FINDINGS if name in there), "")


def unique(texts: Any, separator: str) -> list[str]:
    """The parts of texts, each once, in order."""
    return list(dict.fromkeys(part for text in texts for part in text.split(separator) if part))


def faults(table: pd.DataFrame) -> pd.DataFrame:
    """One row a pair, set-up and fault: the worst over the instants; dangerous undetected ones first."""
    import pandas as pd

    rows = []
    for (pedal, body, setup, fault), group in table.groupby(["pedal", "body", "setup", "fault"], sort=False):
        seen = group[group["detected_by"] != ""]
        unsafe = bool((seen["frti_s"].isna() & (seen["reaction"] != "none")).any())
        off = seen[seen["reaction"].isin(OFF)]
        rows.append(
            {
                "pedal": pedal,
                "body": body,
                "setup": setup,
                "fault": fault,
                "kind": group["kind"].iloc[0],
                "finding": worst(group["finding"]),
                "instants": len(group),
                "dangerous": int((group["dangerous"] & (group["finding"] != "")).sum()),
                "missed": int((group["finding"] == "missed").sum()),
                "detected": len(seen),
                "detected_by": "; ".join(dict.fromkeys(seen["detected_by"])),
                "codes": " ".join(unique(seen["codes"], " ")),
                "reaction": "; ".join(dict.fromkeys(seen["reaction"])),
                "fdti_s": seen["fdti_s"].max(),
                "frti_s": math.inf if unsafe else seen["frti_s"].max(),
                "fhti_s": math.inf if unsafe else seen["fhti_s"].max(),
                "watcher_s": group["watcher_s"].max(),
                "device_s": group["device_s"].max(),
                "return_s": math.inf if off["return_s"].isna().any() else off["return_s"].max(),
                "unasked": group["unasked"].max(),
                "unasked_s": group["unasked_s"].max(),
                **{c: audit_engine.worst(group[c]) for c in audit_engine.COLUMNS if c in group},
                "rules_failed": "; ".join(unique(group["rules_failed"], "; ")),
            }
        )
    found = pd.DataFrame(rows)
    return found.sort_values(
        ["finding", "unasked"],
        ascending=[True, False],
        key=lambda c: c.map({name: i for i, name in enumerate(FINDINGS)}) if c.name == "finding" else c,
        kind="stable",
        ignore_index=True,
    )


def coverage(table: pd.DataFrame, setups: Sequence[str]) -> pd.DataFrame:
    """One row a set-up and group of faults ("all" first): dangerous, caught, share, interval, classes."""
    import pandas as pd

    ran = table[table["finding"] != ""]
    rows = []
    for setup in setups:
        of = ran[ran["setup"] == setup]
        groups = {"all": of} | {str(name): part for name, part in of.groupby("group", sort=False)}
        for name, part in groups.items():
            dangerous = int(part["dangerous"].sum())
            caught = int((part["finding"] == "caught").sum())
            low, high = wilson(caught, dangerous)
            share = caught / dangerous if dangerous else math.nan
            rows.append(
                {
                    "setup": setup,
                    "faults": name,
                    "cases": len(part),
                    "dangerous": dangerous,
                    "caught": caught,
                    "vain": int((part["finding"] == "vain").sum()),
                    "missed": int((part["finding"] == "missed").sum()),
                    "coverage": share,
                    "low": low,
                    "high": high,
                    "class": coverage_class(share),
                    "class_of_low": coverage_class(low),
                }
            )
    return pd.DataFrame(rows)


def coverage_class(share: float) -> str:
    """``"high"``, ``"medium"``, ``"low"``, ``"below low"``, or ``""`` for no dangerous case."""
    if math.isnan(share):
        return ""
    return next((name for name, least in CLASSES if share >= least), "below low")


def worst_cases(table: pd.DataFrame, setup: str) -> dict[str, int]:
    """The number of the worst case of each kind of fault under a set-up, worst first."""
    ran = table[(table["setup"] == setup) & (table["finding"] != "")]
    rank = ran["finding"].map({name: i for i, name in enumerate(FINDINGS)})
    ordered = ran.assign(rank=rank).sort_values(["rank", "unasked"], ascending=[True, False], kind="stable")
    worst_first = ordered.drop_duplicates("kind")
    return {str(kind): int(str(number)) for number, kind in worst_first["kind"].items()}
