# SPDX-License-Identifier: BSD-3-Clause
"""The sections of an audit's report."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ...pages.section import Bars, Cell, HeatMap, Lines, Part, Section, Table
from ...pages.severity import GRADES, worst
from ..shown import thinned
from . import table
from .instants import INSTANTS
from .table import UNWATCHED, ms, percent

if TYPE_CHECKING:
    import pandas as pd

#: Rows of the table of every case, and kinds of fault that are drawn.
_ROWS, _DRAWN = 1600, 12


def sections(design: Any, result: Any, cases: pd.DataFrame) -> list[Section]:
    """Coverage first, then where, then every case."""
    covered = table.coverage(cases, list(design.setups))
    compared = next((name for name in design.setups if name != UNWATCHED), UNWATCHED)
    order = table.worst_cases(cases, compared)
    healthy = cases[cases["fault"] == ""]
    alarms = [
        (_pair(r), r["setup"], Cell(r["grade"]), r["codes"] or "none", r["rules_failed"])
        for _, r in healthy.iterrows()
    ]
    return [
        Section(
            "Coverage of every set-up",
            [_bars(covered), Table(table.HEAD, table.coverage_rows(covered)), table.CLAIM],
        ),
        Section("Faults by set-up and instant", [_map(design, cases, list(order))]),
        Section("Hazards under a monitor", [_hazards(cases)]),
        Section("Every case", [_every(cases)]),
        Section(
            "Case of highest severity of each kind of fault",
            _drawn(design, result, cases, list(order.values())[:_DRAWN]),
        ),
        Section(
            "Without a fault", [Table(["pair", "set-up", "grade", "trouble codes", "rules failed"], alarms)]
        ),
        Section("Set-ups and instants", [_setups(design), _instants(design)]),
    ]


def _pair(row: pd.Series) -> str:
    return f"{row['pedal']} + {row['body']}"


def _bars(covered: pd.DataFrame) -> Bars:
    rows = [
        (r["setup"], r["coverage"], r["low"], r["high"], f"{percent(r['coverage'])} of {r['hazardous']}")
        for _, r in covered.iterrows()
        if r["faults"] == "all" and r["hazardous"] and r["setup"] != UNWATCHED
    ]
    return Bars(rows, "Hazardous cases detected in time, with 95 % interval (Wilson)")


def _map(design: Any, cases: pd.DataFrame, order: list[str]) -> HeatMap:
    """Highest severity of each kind of fault, set-ups side by side."""
    of = table.faulty(cases[["fault", "setup", "kind", "instant", "grade"]])
    cells = {}
    for (kind, setup, instant), part in of.groupby(["kind", "setup", "instant"], sort=False)["grade"]:
        cells[str(kind), f"{setup}|{instant}"] = Cell(worst(part), f"{len(part)} cases")
    there = set(of["instant"])
    columns = [f"{name}|{i}" for name in design.setups for i in design.instants if i in there]
    kinds = list(dict.fromkeys([*order, *of["kind"]]))
    return HeatMap("Highest severity of each kind of fault", "kind", "", kinds, columns, cells, narrow=True)


def _ranked(cases: pd.DataFrame) -> pd.DataFrame:
    rank = cases["grade"].map({name: i for i, name in enumerate([*GRADES, ""])})
    keys = ["rank", "unasked_opening"]
    return cases.assign(rank=rank).sort_values(keys, ascending=[True, False], kind="stable")


def _hazards(cases: pd.DataFrame) -> Table:
    """One row a set-up and fault that is a hazard at some instant, the widest opening first."""
    bad = cases[cases["hazard"] & (cases["setup"] != UNWATCHED) & (cases["grade"] != "")]
    rows = []
    groups = _ranked(bad).groupby(["setup", "grade", "pedal", "body", "fault"], sort=False)
    for (setup, grade, pedal, body, fault), part in groups:
        times = sorted({ms(t) for t in part["fdti_s"].dropna()})
        rows.append(
            (
                Cell(str(grade)),
                setup,
                fault,
                f"{pedal} + {body}",
                ", ".join(part["instant"]),
                " … ".join(map(str, dict.fromkeys([*times[:1], *times[-1:]]))),
                " ".join(dict.fromkeys(" ".join(part["codes"]).split())),
                "; ".join(dict.fromkeys(part["reaction"])),
                percent(part["unasked_opening"].max()),
                f"{part['unasked_time_s'].max():.2f}",
                int(part.index[0]),
            )
        )
    head = (
        "grade|set-up|fault|pair|instants|detected after [ms]|trouble codes|reaction|uncommanded|for [s]|case"
    )
    return Table(head.split("|"), rows)


def _every(cases: pd.DataFrame) -> Table:
    shown = _ranked(table.faulty(cases))
    rows = [
        (
            Cell(r["grade"]),
            r["setup"],
            r["fault"],
            r["instant"],
            r["response"],
            "yes" if r["hazard_unwatched"] else "no",
            r["detected_by"] or ("" if r["status"] == "completed" else r["outcome"]),
            ms(r["fdti_s"]),
            ms(r["frti_s"]),
            r["reaction"],
            percent(r["unasked_opening"]),
            percent(r["final_opening"]),
            r["rules_failed"],
            number,
        )
        for number, r in shown.head(_ROWS).iterrows()
    ]
    head = (
        "grade|set-up|fault|instant|response|hazard without monitor|detected by|FDTI [ms]|FRTI [ms]|reaction|"
        "uncommanded|blade at the end|rules failed|case"
    )
    title = "FDTI, FRTI: fault detection and reaction time interval of ISO 26262-1"
    return Table(head.split("|"), rows, title, max(0, len(shown) - _ROWS))


def _drawn(design: Any, result: Any, cases: pd.DataFrame, numbers: list[int]) -> list[Part]:
    """The blade after one fault under every set-up, and without it."""
    names = list(design.setups)
    first = {number: number - names.index(cases["setup"].loc[number]) for number in numbers}
    wanted = [k for number in numbers for k in range(first[number], first[number] + len(names))]
    runs = result.runs(wanted, ["asked", "blade.opening"])
    found: list[Part] = []
    for number in numbers:
        row = cases.loc[number]
        healthy = design.healthy[row["pedal"], row["body"]][0]
        without = "without fault" + (" (built-in controller)" if design.study.unit else "")
        there = {name: runs[k] for k, name in enumerate(names, first[number]) if k in runs}
        some = next(iter(there.values())).record
        curves = {"foot asks": some["asked"], without: healthy}
        curves |= {name: run.record["blade.opening"] for name, run in there.items()}
        rows = min(map(len, curves.values()))
        x, shown = thinned(
            some.time[:rows], {name: 100 * values[:rows] for name, values in curves.items()}, 350
        )
        start = float(str(row["start_s"]))
        marks = [(start, "fault")]
        for name, run in there.items():
            codes = [code for code in run.codes if code.confirmed >= start]
            marks += [(codes[0].confirmed, f"{name}: {codes[0].text}")] if codes else []
        title = f"{row['fault']}, {row['instant']}: {row['pedal']} + {row['body']}"
        found.append(Lines(title, x, shown, "time since key-on [s]", "blade [% of travel]", marks))
    return found


def _setups(design: Any) -> Table:
    return Table(["set-up", "what it is"], [(name, design.meaning(name)) for name in design.setups])


def _instants(design: Any) -> Table:
    rows = []
    for name in design.instants:
        when = sorted({times[name] for _, times, _ in design.healthy.values() if name in times})
        text = " … ".join(dict.fromkeys(f"{t:.3f} s" for t in (*when[:1], *when[-1:])))
        never = [f"{p} + {b}" for (p, b), (_, times, _) in design.healthy.items() if name not in times]
        if never:
            text = f"{text}, never with {', '.join(never)}".removeprefix(", ")
        rows.append((name, text, INSTANTS[name]))
    return Table(["instant", "when", "meaning"], rows)
