# SPDX-License-Identifier: BSD-3-Clause
"""The page of an audit: one picture first, then what is dangerous and unseen, then every fault."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..pages import page
from ..pages.words import CAUTIONS
from ..rulebooks import report as rule_report
from ..studies import setups
from . import engine as audit_engine
from . import freeze_frame
from . import judge as audit_judge
from . import table as audit_table
from .detail import answered, by_instant, engine, harmful, percent
from .plot import LOOKS, Panel, audit_matrix, danger_bars, fault_plot
from .result import Audited
from .study import INSTANTS, UNWATCHED
from .table import FINDINGS

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.figure import Figure


_COVERAGE = {"high": "high (≥ 99 %)", "medium": "medium (≥ 90 %)", "low": "low (≥ 60 %)"}


def write_report(done: Audited, path: Path) -> None:
    """Renders ``audit.html``."""
    path.write_text(page.render("audit/audit.html.j2", _content(done)), encoding="utf-8")


def write_picture(done: Audited, path: Path) -> None:
    """Faults by instants, one panel a set-up, as a PNG picture."""
    _matrix(done).savefig(path, dpi=110)


def headline(done: Audited) -> str:
    """The answer in a few sentences."""
    cases = done.cases
    ran = cases[cases["finding"] != ""]
    unwatched = ran[ran["setup"] == UNWATCHED]
    text = [
        f"{len(unwatched)} cases of a single fault; {int(unwatched['harmful'].sum())} of them open the blade "
        f"unasked for longer than {done.audit.tolerance:g} s when nobody looks."
    ]
    for name in _watching(done):
        row = _all(done, name)
        if row["dangerous"]:
            text.append(
                f"The set-up '{name}' catches {percent(row['coverage'])} of what is dangerous, "
                f"acts in vain on {row['vain']} and never sees {row['missed']}."
            )
    if missing := int((cases["finding"] == "").sum()):
        text.append(f"Cases not run or not finished: {missing}.")
    return " ".join(text)


def coverage_rows(done: Audited) -> list[dict[str, str]]:
    """The table of coverage as text."""
    return [
        {
            "setup": row["setup"],
            "faults": row["faults"],
            **{key: str(row[key]) for key in ("cases", "dangerous", "caught", "vain", "missed")},
            "coverage": percent(row["coverage"]),
            "interval": f"{percent(row['low'])} … {percent(row['high'])}" if row["dangerous"] else "",
            "class": _COVERAGE.get(row["class"], row["class"]),
            "class_of_low": _COVERAGE.get(row["class_of_low"], row["class_of_low"]),
        }
        for _, row in done.coverage.iterrows()
    ]


def _content(done: Audited) -> dict[str, Any]:
    links = _links(done)
    matrix = _matrix(done, {kind: f"#{anchor}" for kind, anchor in links.items()})
    single = by_instant(done.cases, done.verdicts, list(done.audit.setups))
    rules = rule_report.content(
        done.audit.rules,
        done.verdicts,
        [case.label for case in done.listed],
        [case.setup for case in done.listed],
    )
    return {
        "title": done.audit.study.title,
        "headline": headline(done),
        "interrupted": done.interrupted,
        "shown": freeze_frame.titles(done.audit.study.engine is not None),
        "engine": _engine_headings(done),
        "looks": LOOKS,
        "matrix": page.svg(matrix),
        "matrix_width": round(110 * matrix.get_figwidth()),
        "setups": [{"name": name, "meaning": _meaning(name)} for name in done.audit.setups],
        "coverage": [row for row in coverage_rows(done) if row["faults"] == "all" or row["dangerous"] != "0"],
        "bars": page.svg(_bars(done)) if _watching(done) else "",
        "missed": _harmful(done, "missed"),
        "vain": _harmful(done, "vain"),
        "kinds": [_kind(done, kind, anchor, single[kind]) for kind, anchor in links.items()],
        "healthy": _healthy(done),
        "instants": _instants(done),
        "tolerance": f"{done.audit.tolerance:g} s",
        "limit": f"{100 * _core.limits()['unasked'][0]:g} %",
        "near": f"{100 * audit_judge.NEAR_DEFAULT:g} %",
        "verdicts": page.render("rulebooks/rules.html.j2", rules | {"file": "audit_verdicts.csv"}),
        "many_pairs": len(done.audit.pairs) > 1,
        "pairs": ", ".join(f"{pedal} + {body}" for pedal, body in done.audit.pairs),
        "version": _core.__version__,
        "cautions": CAUTIONS,
    }


def _engine_headings(done: Audited) -> list[str]:
    """Headings of the columns on the engine; none without one."""
    there = [column for column in audit_engine.COLUMNS if column in done.cases]
    return [audit_engine.RULES[column][0] if column in audit_engine.RULES else column for column in there]


def _bars(done: Audited) -> Figure:
    """What became of the dangerous cases under each set-up that looks."""
    rows = {name: _all(done, name) for name in _watching(done)}
    return danger_bars(
        {name: {k: int(row[k]) for k in ("missed", "vain", "caught")} for name, row in rows.items()}
    )


def _harmful(done: Audited, finding: str) -> list[dict[str, Any]]:
    """The faults of that finding by set-up, with the number of their cases."""
    return [
        {"setup": name, "cases": int(_all(done, name)[finding]), "rows": harmful(done.cases, name, finding)}
        for name in _watching(done)
    ]


def _watching(done: Audited) -> list[str]:
    return [name for name in done.audit.setups if name != UNWATCHED]


def _all(done: Audited, setup: str) -> pd.Series:
    table = done.coverage
    return table[(table["setup"] == setup) & (table["faults"] == "all")].iloc[0]


def _matrix(done: Audited, links: dict[str, str] | None = None) -> Figure:
    cases = done.cases
    panels = []
    for name in done.audit.setups:
        of = cases[cases["setup"] == name]
        row = _all(done, name)
        told = f"catches {percent(row['coverage'])}" if row["dangerous"] else "nothing dangerous"
        there: dict[tuple[str, str], list[str]] = {}
        for kind, instant, finding in zip(of["kind"], of["instant"], of["finding"], strict=True):
            there.setdefault((kind, instant), []).append(finding)
        findings = {place: audit_table.worst(found) for place, found in there.items()}
        panels.append(Panel(name, told, findings))
    return audit_matrix(panels, list(_links(done)), list(done.audit.instants), links)


def _links(done: Audited) -> dict[str, str]:
    """Every kind of fault with the name of its place on the page, worst first in the first set-up."""
    ordered = audit_table.worst_cases(done.cases, next(iter(_watching(done)), UNWATCHED))
    kinds = dict.fromkeys([*ordered, *done.cases["kind"]])
    return {kind: f"kind-{i}" for i, kind in enumerate(kinds)}


def _kind(done: Audited, kind: str, anchor: str, single: list[Any]) -> dict[str, Any]:
    of = done.faults[done.faults["kind"] == kind]
    number, traces = done.pictured.get(kind, (-1, {}))
    picture, caption = "", ""
    if traces:
        case, row = done.listed[number], done.cases.iloc[number]
        resting = audit_judge.default_opening(done.audit.study.bodies[case.body])
        picture = page.png(fault_plot(traces, float(row["start_s"]), resting), dpi=95)
        caption = f"{case.pedal} + {case.body}: {row['fault']}, {row['instant']}"
    findings = {name: audit_table.worst(of[of["setup"] == name]["finding"]) for name in done.audit.setups}
    return {
        "name": kind,
        "anchor": anchor,
        "findings": findings,
        "single": single,
        "rows": _fault_rows(_by_fault(of, list(done.audit.setups))),
        "picture": picture,
        "caption": caption,
        "history": [
            {"setup": name, **frame}
            for name in done.audit.setups
            if name in traces
            for frame in traces[name].attrs["codes"]
        ],
    }


def _by_fault(table: pd.DataFrame, setups: list[str]) -> pd.DataFrame:
    """The set-ups of each fault side by side; the fault that is worst in any of them first."""
    keys = ["pedal", "body", "fault"]
    place = {key: i for i, key in enumerate(dict.fromkeys(zip(*(table[k] for k in keys), strict=True)))}
    order = [place[key] for key in zip(*(table[k] for k in keys), strict=True)]
    rank = table["setup"].map({name: i for i, name in enumerate(setups)})
    return table.assign(order=order, rank=rank).sort_values(["order", "rank"], kind="stable")


def _fault_rows(table: pd.DataFrame) -> list[dict[str, Any]]:
    return [
        {
            "finding": row["finding"],
            "word": FINDINGS[row["finding"]],
            "setup": row["setup"],
            "fault": f"{row['fault']}",
            "pair": f"{row['pedal']} + {row['body']}",
            "detected": f"{row['detected']} of {row['instants']}",
            "by": row["detected_by"],
            **answered(row),
            "unasked": f"{percent(row['unasked'])}, {row['unasked_s']:.2f} s",
            "engine": engine(row),
            "rules": row["rules_failed"],
        }
        for _, row in table.iterrows()
    ]


def _healthy(done: Audited) -> list[dict[str, str]]:
    """The runs without a fault: what trips there is a false alarm."""
    return [
        {
            "pair": f"{row['pedal']} + {row['body']}",
            "setup": row["setup"],
            "codes": row["codes"] or ("none" if row["status"] == "completed" else row["status"]),
            "rules": row["rules_failed"] or "none",
        }
        for _, row in done.healthy.iterrows()
    ]


def _instants(done: Audited) -> list[dict[str, str]]:
    found = []
    for name in done.audit.instants:
        when = sorted({times[name] for times in done.instants.values() if name in times})
        text = " … ".join(dict.fromkeys(f"{t:.3f} s" for t in (*when[:1], *when[-1:])))
        never = [f"{pedal} + {body}" for (pedal, body), times in done.instants.items() if name not in times]
        if never:
            text = f"{text}, never with {', '.join(never)}".removeprefix(", ")
        found.append({"name": name, "when": text, "meaning": INSTANTS[name]})
    return found


def _meaning(setup: str) -> str:
    return setups.MEANING.get(setup, "the file's own ([audit.monitor])")
