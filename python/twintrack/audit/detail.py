# SPDX-License-Identifier: BSD-3-Clause
"""What the page of an audit tells of single cases: what nobody saw, and each fault by set-up and instant."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from . import engine as audit_engine
from .judge import OTHERS
from .table import FINDINGS, unique, worst

if TYPE_CHECKING:
    import pandas as pd

_FAULT = ["pedal", "body", "fault"]


def harmful(cases: pd.DataFrame, setup: str, finding: str) -> list[dict[str, str]]:
    """One row a fault that comes to "missed" or "vain" at some instant, the widest opening first."""
    rows = []
    for key, group in cases[cases["setup"] == setup].groupby(_FAULT, sort=False):
        pedal, body, fault = _texts(key)
        bad = group[group["finding"] == finding]
        if bad.empty:
            continue
        everywhere = len(bad) == len(group)
        row = {
            "fault": fault,
            "pair": f"{pedal} + {body}",
            "when": "every instant" if everywhere else ", ".join(bad["instant"]),
            "codes": " ".join(unique(bad["codes"], " ")),
            "reaction": "; ".join(unique(bad["reaction"], "; ")),
            "fdti": _range(bad["fdti_s"]),
            "unasked": percent(bad["unasked"].max()),
            "seconds": f"{bad['unasked_s'].max():.2f} s",
            "final": percent(bad["final_opening"].max()),
            "rules": "; ".join(unique(bad["rules_failed"], "; ")),
        }
        rows.append((-float(bad["unasked"].max()), row))
    return [row for _, row in sorted(rows, key=lambda pair: pair[0])]


def by_instant(cases: pd.DataFrame, verdicts: pd.DataFrame, setups: Sequence[str]) -> dict[str, list[Any]]:
    """For each kind its faults, worst first, each with one row an instant and set-up.

    ``verdicts`` is the table of :func:`twintrack.rulebooks.rulebook.collect`.
    """
    counts = verdicts.groupby([verdicts.index, "finding"]).size().unstack(fill_value=0)
    found: dict[str, list[Any]] = {}
    for key, group in cases.groupby(["kind", *_FAULT], sort=False):
        kind, pedal, body, fault = _texts(key)
        rows = [_row(row, _tally(counts, int(str(number)))) for number, row in group.iterrows()]
        rows.sort(key=lambda row: setups.index(row["setup"]))
        order = list(FINDINGS).index(worst(group["finding"])), -float(group["unasked"].max())
        found.setdefault(kind, []).append(
            {"order": order, "fault": fault, "pair": f"{pedal} + {body}", "rows": rows}
        )
    for faults in found.values():
        faults.sort(key=lambda fault: fault["order"])
    return found


def _range(times: pd.Series) -> str:
    """The shortest and the longest of several times."""
    ends = dict.fromkeys((ms(times.min()), ms(times.max())))
    return " … ".join(ends)


def _texts(key: Any) -> list[str]:
    return [str(part) for part in key]


def answered(row: pd.Series) -> dict[str, str]:
    """What the controller did about a fault, and in which times, as text."""
    return {
        "codes": row["codes"],
        "others": others(row),
        "reaction": row["reaction"],
        "fdti": ms(row["fdti_s"]),
        "frti": ms(row["frti_s"]),
        "fhti": ms(row["fhti_s"]),
    }


def _row(row: pd.Series, verdicts: str) -> dict[str, Any]:
    return {
        "instant": row["instant"],
        "setup": row["setup"],
        "finding": row["finding"],
        "by": row["detected_by"] or row["outcome"],
        **answered(row),
        "unasked": percent(row["unasked"]),
        "seconds": "" if math.isnan(row["unasked_s"]) else f"{row['unasked_s']:.2f} s",
        "final": percent(row["final_opening"]),
        "engine": engine(row),
        "frame": row["freeze_frame"],
        "verdicts": verdicts,
        "rules": row["rules_failed"],
    }


def _tally(counts: pd.DataFrame, number: int) -> str:
    if number not in counts.index:
        return ""
    of: Mapping[Any, Any] = counts.loc[number].to_dict()
    return f"{of.get('passed', 0)} / {of.get('failed', 0)} / {of.get('not applicable', 0)}"


def engine(row: pd.Series) -> list[str]:
    """What stands in the columns of an audit with an engine."""
    return [row[column] for column in audit_engine.COLUMNS if column in row]


def others(row: pd.Series) -> str:
    """When second watcher and independent device tripped, in words."""
    found = {name: row[f"{signal.split('.')[0]}_s"] for name, signal in OTHERS.items()}
    return "; ".join(f"{name} after {ms(when)}" for name, when in found.items() if not math.isnan(when))


def percent(share: float) -> str:
    """Rounded down, so that 100 % means all."""
    return "" if math.isnan(share) else f"{math.floor(1000 * share + 1e-9) / 10:g} %".replace("-", "−")


def ms(seconds: float) -> str:
    """A time in milliseconds; infinite: never."""
    if math.isnan(seconds):
        return ""
    return "never" if math.isinf(seconds) else f"{1000 * seconds:.0f} ms"
