# SPDX-License-Identifier: BSD-3-Clause
"""Verdicts of written rules as a section of a report: rule by cases, what failed first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from .. import _core
from ..units import RPM, show
from .text import text_of

if TYPE_CHECKING:
    import pandas as pd


class Look(NamedTuple):
    """How a finding is shown."""

    symbol: str
    word: str


LOOKS = {
    "failed": Look("✘", "failed"),
    "passed": Look("✔", "passed"),
    "not applicable": Look("·", "not applicable"),
    "": Look(" ", "not run"),
}


def content(
    rules: Sequence[_core.Rule],
    verdicts: pd.DataFrame,
    labels: Sequence[str],
    groups: Sequence[str] = (),
    most: int = 20,
) -> dict[str, Any]:
    """What the template needs: one row a rule, failed ones first, those with most failures on top.

    ``verdicts`` is the table of :func:`twintrack.rulebooks.rulebook.collect`; ``labels`` names every case,
    ``groups``, where there are any, what it belongs to: failures are counted for each, in place of one mark a
    case.
    """
    rows = [_row(rule, verdicts[verdicts["rule"] == rule.name], labels, most) for rule in rules]
    names = list(dict.fromkeys(groups))
    for row in rows:
        row["by_group"] = [sum(groups[case] == name for case in row["failed_cases"]) for name in names]
    order = {"failed": 0, "passed": 1, "not applicable": 2, "": 3}
    rows.sort(key=lambda row: (order[row["finding"]], -row["failed"]))  # stable: else the order of the rules
    strips = not names and len(labels) <= 1000
    return {"rules": rows, "looks": LOOKS, "groups": names, "strips": strips, "file": "verdicts.csv"}


def _row(rule: _core.Rule, found: pd.DataFrame, labels: Sequence[str], most: int) -> dict[str, Any]:
    findings = {int(str(case)): str(finding) for case, finding in found["finding"].items()}
    counts = {name: sum(f == name for f in findings.values()) for name in LOOKS if name}
    worst = found[found["margin"].notna()].sort_values("margin", kind="stable")
    failed = worst[worst["finding"] == "failed"]
    return {
        "rule": rule,
        "finding": next((name for name in ("failed", "passed", "not applicable") if counts[name]), ""),
        "failed": counts["failed"],
        "failed_cases": [case for case, name in findings.items() if name == "failed"],
        "passed": counts["passed"],
        "unfit": counts["not applicable"],
        "margin": _margin(worst.iloc[0], rule) if len(worst) else "",
        "reasons": sorted({reason for reason in found["reason"] if reason}),
        "strip": [
            (findings.get(i, ""), f"{label}: {LOOKS[findings.get(i, '')].word}")
            for i, label in enumerate(labels)
        ],
        "cases": [
            {
                "label": labels[int(str(case))],
                "when": "" if math.isnan(v["when_s"]) else f"{v['when_s']:.3f} s",
                "margin": _margin(v, rule),
            }
            for case, v in failed.head(most).iterrows()
        ],
        "more": max(0, len(failed) - most),
    }


def _margin(verdict: Any, rule: _core.Rule) -> str:
    """The verdict's margin as people say it: speeds of the engine in revolutions a minute."""
    margin = float(verdict["margin"])
    if rule.unit == "rad/s" and "engine.speed" in text_of(rule.requires):
        return margin_text(margin / RPM, "rpm")
    return margin_text(margin, rule.unit)


def margin_text(margin: float, unit: str) -> str:
    """``"−12.3 % of travel"``-like text: shares in per cent, others with their unit; infinite: yes or no."""
    if math.isnan(margin):
        return ""
    if math.isinf(margin):
        return "yes or no"
    if margin == 0:
        return "0"
    text = f"{100 * margin:+.1f} %" if not unit else f"{'+' if margin >= 0 else ''}{show(margin, unit)}"
    return text.replace("-", "−")
