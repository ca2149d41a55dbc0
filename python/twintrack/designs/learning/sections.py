# SPDX-License-Identifier: BSD-3-Clause
"""Learns under disturbances, together: which rules a disturbance breaks, tallies, and sections of the report.

Here a hazard is also a motor that pushes the blade against a stop for over 1 s with more than half of its
stall current. A rule counts as broken by the disturbance when a good learn of the pair keeps it; a drive that
breaks one has a wrong response.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ... import _core
from ...pages.section import Cell, HeatMap, Lines, Part, Section, Table
from ...pages.severity import GRADES
from ...studies.disturbed_learns import LIMITS
from ..shown import traces
from .consequences import error
from .disturbances import GOOD, STAYS

if TYPE_CHECKING:
    import pandas as pd

_GRADES = ("hazard", "late", "missed", "in time", "not needed", "refused")
HEAD = ["limits", "HAZARD", "late", "WRONG, missed", "detected", "right", "refused"]
_PICTURED = 5  # kinds of disturbances that are shown in full


def judged(table: pd.DataFrame) -> pd.DataFrame:
    """Adds ``rules_broken``, and the grade that follows from it; the worst first within the table's order."""
    kept: dict[tuple[str, str], set[str]] = {}
    good = table[(table["disturbance"] == GOOD.name) & table["learn_accepted"].fillna(False).astype(bool)]
    for _, row in good.iterrows():
        kept.setdefault((row["pedal"], row["body"]), set()).update(_split(row["rules_failed"]))
    broken = []
    for pedal, body, failed in zip(table["pedal"], table["body"], table["rules_failed"], strict=True):
        usual = kept.get((pedal, body), set())
        broken.append("; ".join(rule for rule in _split(failed) if rule not in usual))
    table = table.assign(rules_broken=broken)
    wrong = (table["rules_broken"] != "") & (table["response"] == "right")
    table.loc[wrong, "response"] = "wrong"
    silent = wrong & (table["detection"] == "not needed")
    table.loc[silent, "detection"] = "missed"
    table.loc[silent & (table["grade"] == "not needed"), "grade"] = "missed"
    return table


def _split(rules: str) -> list[str]:
    return [rule for rule in rules.split("; ") if rule]


def _shown(table: pd.DataFrame) -> pd.DataFrame:
    """One row a refused learn and one a drive, the worst first; without the good learns."""
    table = table[(table["disturbance"] != GOOD.name) & (table["grade"] != "")]
    table = table[(table["grade"] != "refused") | (table["after"] != STAYS)]
    size = table["unasked_opening"].where(table["hazard"], table["error_most"]).fillna(0.0)
    rank = table["grade"].map({name: k for k, name in enumerate(GRADES)})
    refused = (table["grade"] == "refused").astype(int)
    order = table.assign(rank=rank, size=size, refused=refused)
    return order.sort_values(["refused", "rank", "size"], ascending=[True, True, False], kind="stable")


def limits(table: pd.DataFrame) -> list[str]:
    there = set(table["limits"])
    return [name for name in LIMITS if name in there]


def headline(table: pd.DataFrame) -> str:
    """The answer of the whole study in a few sentences."""
    shown = _shown(table)
    n = shown["grade"].value_counts()
    keys = ["pedal", "body", "disturbance", "limits"]
    tried = len(shown.drop_duplicates(keys))
    refused, driven = int(n.get("refused", 0)), len(shown) - int(n.get("refused", 0))
    text = [f"Of {tried} disturbed learns {refused} are refused."]
    if driven:
        hazards = int(n.get("hazard", 0) + n.get("late", 0))
        text.append(
            f"The {tried - refused} that are accepted make {driven} drives: {hazards} are a HAZARD "
            f"({n.get('late', 0)} detected late), {n.get('missed', 0)} WRONG and missed, "
            f"{n.get('in time', 0)} detected in time, {n.get('not needed', 0)} right."
        )
    for name in limits(shown):
        part = shown[shown["limits"] == name]
        gone = int((part["grade"] == "refused").sum())
        text.append(f"{name.capitalize()} limits refuse {gone} of {len(part.drop_duplicates(keys))}.")
    if len(shown):
        bad = shown[shown["hazard"] & (shown["limits"] == limits(shown)[0])]
        if len(bad):
            kinds = ", ".join(dict.fromkeys(bad["kind"]))
            text.append(f"A HAZARD even under {limits(shown)[0]} limits: {kinds}.")
    return " ".join(text)


def tally(table: pd.DataFrame) -> list[list[str]]:
    """One row for each of the limits: drives by grade, without the good learns."""
    shown = _shown(table)
    return [
        [name, *(str(int(((shown["limits"] == name) & (shown["grade"] == g)).sum())) for g in _GRADES)]
        for name in limits(shown)
    ]


def heat(table: pd.DataFrame) -> HeatMap:
    """What each kind of disturbance comes to under each of the limits: the worst of its drives."""
    shown = _shown(table)
    cells = {
        (str(kind), f"{name} limits"): Cell(rows.iloc[0]["grade"], _note(rows))
        for (kind, name), rows in shown.groupby(["kind", "limits"], sort=False)
    }
    columns = [f"{name} limits" for name in limits(shown)]
    title = "Highest severity of each disturbance"
    return HeatMap(title, "disturbance", "", list(dict.fromkeys(shown["kind"])), columns, cells)


def _note(rows: pd.DataFrame) -> str:
    row = rows.iloc[0]
    amount = str(row["disturbance"]).removeprefix(str(row["kind"])).strip()
    if row["grade"] == "refused":
        return ", ".join(dict.fromkeys(rows["learn_refusal"]))
    if row["hazard"]:
        uncommanded = row["response"] == "uncommanded"
        what = f"{100 * row['unasked_opening']:.0f} %" if uncommanded else "hot at the stop"
    elif row["grade"] == "in time":
        what = str(row["codes"]).split(" ")[0]
    elif row["grade"] == "missed":
        what = f"{100 * row['error_most']:.0f} % off" if row["error_most"] > 0.02 else "a rule broken"
    else:
        gone = int((rows["grade"] == "refused").sum())
        return f"or refused ({gone})" if gone else ""
    return what + (f" ({amount})" if amount else "")


def sections(design: Any, result: Any, table: pd.DataFrame) -> list[Section]:
    shown = _shown(table)
    accepted, refused = shown[shown["grade"] != "refused"], shown[shown["grade"] == "refused"]
    drawn = accepted[accepted["grade"] != "not needed"].drop_duplicates("kind").head(_PICTURED)
    why = {int(str(number)): str(row["grade"]) for number, row in drawn.iterrows()}
    return [
        Section("Severity of every disturbance", [heat(table)]),
        Section("Accepted learns", [_accepted(accepted)]),
        Section("Refused learns", [_refused(refused)]),
        Section("Traces", [*_errors(design, result, list(why)), *traces(result, why)]),
    ]


def _accepted(table: pd.DataFrame) -> Table:
    rows = [
        (
            Cell(row["grade"]),
            row["response"],
            row["disturbance"],
            row["limits"],
            row["after"],
            f"{row['pedal']} + {row['body']}",
            *(
                _percent(row[name])
                for name in ("unasked_opening", "error_most", "pedal_error", "blade_error")
            ),
            _stops(row),
            row["codes"],
            row["rules_broken"],
            number,
        )
        for number, row in table.iterrows()
    ]
    head = (
        "grade|response|disturbance|limits|cause|pair|uncommanded [%]|off by [%]|pedal error [%]|"
        "blade error [%]|stops|trouble codes|rules broken|case"
    )
    return Table(head.split("|"), rows, "Highest severity first")


def _percent(share: float) -> float | str:
    return "" if share != share else round(100 * share, 1)


def _stops(row: pd.Series) -> str:
    """``"closed: hit at 3.1 rad/s, held 1.2 s with 2.4 A rms"``; empty when the blade was not there."""
    found = []
    for name in ("closed", "open"):
        parts = []
        if row[f"{name}_impact_rad_s"] > 0.05:
            parts.append(f"impact at {row[f'{name}_impact_rad_s']:.1f} rad/s")
        if row[f"{name}_held_s"] >= 0.05:
            parts.append(
                f"pressed for {row[f'{name}_held_s']:.1f} s with {row[f'{name}_current_rms_a']:.1f} A rms"
            )
        found += [f"{name}: {', '.join(parts)}"] if parts else []
    return "; ".join(found)


def _refused(table: pd.DataFrame) -> Table:
    """One row a disturbance and refusal: which limits and pairs, and the sentence of the first."""
    rows = []
    for (disturbance, refusal), part in table.groupby(["disturbance", "learn_refusal"], sort=False):
        pairs = dict.fromkeys(part["pedal"] + " + " + part["body"])
        steps = dict.fromkeys(part["stopped_in"])
        told = part.iloc[0]["sentence"]
        rows.append((disturbance, refusal, ", ".join(limits(part)), ", ".join(pairs), ", ".join(steps), told))
    return Table(["disturbance", "refusal", "limits", "pairs", "step", "reason"], rows)


def _errors(design: Any, result: Any, numbers: list[int]) -> list[Part]:
    """How far off the controller's position is over the travel, of the drives that are shown."""
    found: list[Part] = []
    for number in numbers:
        spec, learned = design.specs[number], result.learned(number)
        case = result.plan.case(number)
        left = (
            _core.lasting_faults(spec.pairing.disturbed_learn.core)
            if spec.pairing.disturbed_learn.stays
            else []
        )
        travel = _core.learned_travel(case.parameters, learned.range, faults=left)
        curves = {
            name: (100 * error(travel, believed, true)).round(3).tolist()
            for name, believed, true in (
                ("pedal", "pedal.position", "pedal.travel"),
                ("blade", "opening", "blade.opening"),
            )
        }
        x = [100 * t for t in travel["pedal.travel"].tolist()]
        found.append(
            Lines(
                f"Position error: {design.label(spec)}", x, curves, "true position [%]", "error [% of travel]"
            )
        )
    return found
