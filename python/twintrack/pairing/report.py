# SPDX-License-Identifier: BSD-3-Clause
"""One self-contained HTML page from the results of a study."""

from __future__ import annotations

import json
import platform
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..files import traces
from ..idle import table as idle_table
from ..pages import page
from ..pages.matrix import LOOKS, pairing_matrix, pairing_overview
from ..pages.plot import Mark, run_plot
from ..pages.words import CAUTIONS, limit_texts
from ..rulebooks import report as rule_report
from ..studies import scenario
from ..studies.study import Study
from ..wirings.wiring import Wiring
from . import fault_effects, fault_report, interest, summary
from .result import Finished

if TYPE_CHECKING:
    import pandas as pd


_MEANING = {
    "right": "settled within {settled} of travel of what the pedal map asks, at rest, half and full",
    "none": "the blade moves less than {moved} of travel",
    "wrong": "anything else: it answers, but not with what the foot asks",
    "unsafe": "open more than {unasked} of travel beyond what the foot asks, for longer than {unasked_time}",
}


def write_report(finished: Finished, path: Path) -> None:
    """Renders ``report.html``; traces are read from where ``finished.traces`` says."""
    path.write_text(page.render("pairing/report.html.j2", _content(finished)), encoding="utf-8")


def write_picture(table: pd.DataFrame, path: Path) -> None:
    """The pairing matrices in one PNG picture."""
    pairing_overview(summary.matrices(table)).savefig(path, dpi=110)


def _content(finished: Finished) -> dict[str, Any]:
    table, study = finished.table, finished.study
    faulty = study.every_fault_from is not None
    answers = _answers()
    cards = [{**a, "word": LOOKS[a["answer"]].word} for a in answers]
    return (
        {"effects": {}, "cards": cards}
        | (_faults(study, table) if faulty else {})
        | {
            "title": study.title,
            "headline": (fault_report if faulty else summary).headline(table),
            "interrupted": finished.interrupted,
            "answers": answers,
            "tally": [(summary.GROUPS[name], counts) for name, counts in summary.tally(table).items()],
            "looks": LOOKS,
            "matrices": [
                {"title": m.title, "svg": page.svg(pairing_matrix(m))} for m in summary.matrices(table)
            ],
            "limits": [{"name": name, **limit} for name, limit in limit_texts().items()],
            "bad": _bad(table),
            "refused": _refused(table),
            "runs": _runs(finished),
            "about": _about(study, table),
            "verdicts": _verdicts(finished),
            "idle": _idle(table),
            "cautions": CAUTIONS,
        }
    )


def _idle(table: pd.DataFrame) -> str:
    """The section on the engine; empty when there is none."""
    return (
        page.render("idle/idle_cases.html.j2", idle_table.content(table))
        if idle_table.has_idle(table)
        else ""
    )


def _verdicts(finished: Finished) -> str:
    """The section on written rules; empty when the study names none."""
    if not finished.study.rules:
        return ""
    labels = [pairing.label for pairing in finished.study.pairings()]
    return page.render(
        "rulebooks/rules.html.j2", rule_report.content(finished.study.rules, finished.verdicts, labels)
    )


def _faults(study: Study, table: pd.DataFrame) -> dict[str, Any]:
    """What the section on wiring faults needs."""
    limits = {name: limit["value"] for name, limit in limit_texts().items()}
    return {
        "cards": [
            {"answer": answer, "word": effect, "meaning": fault_effects.MEANING[effect].format(**limits)}
            for effect, answer in fault_effects.EFFECTS.items()
        ],
        "effects": fault_effects.EFFECTS,
        "fault_from": f"{study.every_fault_from:g}",
        "fault_tally": fault_report.tally(table),
        "fault_rows": fault_report.rows(table),
        "diagrams": [_diagram(study, pick) for pick in fault_report.choose(table)],
    }


def _diagram(study: Study, pick: interest.Pick) -> dict[str, str]:
    case = study.pairings()[pick.number]
    wiring = Wiring(study.parameters(case.pedal, case.body, pick.number))
    label = pick.why if case.fault is None else f"{pick.why}: {case.fault.text}"
    return {"label": label, "svg": page.svg(wiring.plot(case.fault))}


def _answers() -> list[dict[str, str]]:
    values = {name: limit["value"] for name, limit in limit_texts().items()}
    return [{"answer": name, "meaning": text.format(**values)} for name, text in _MEANING.items()]


def _bad(table: pd.DataFrame, most: int = 40) -> dict[str, Any]:
    """The wrong and unsafe answers, worst first; the same swap gives one row with its worst case."""
    bad = table[table["answer"].isin(["wrong", "unsafe"])]
    bad = bad.assign(bad=interest.badness(bad), group=summary.group(bad))
    bad = bad.sort_values("bad", ascending=False, kind="stable")
    bad["swap"] = [_swap(row) for _, row in bad.iterrows()]
    grouped = bad.groupby(["answer", "swap"], sort=False)
    rows = [
        {
            "answer": answer,
            "swap": swap,
            "count": len(cases),
            "worst": f"{cases.iloc[0]['pedal']} + {cases.iloc[0]['body']}",
            "sentence": cases.iloc[0]["sentence"],
            "codes": cases.iloc[0]["codes"] or "none",
        }
        for (answer, swap), cases in grouped
    ]
    return {"rows": rows[:most], "total": len(bad), "more": max(0, len(rows) - most)}


def _refused(table: pd.DataFrame) -> list[tuple[str, str]]:
    """The learns that were refused, once a pair, and why."""
    refused = table[(table["learn_accepted"] == False).fillna(False)]  # noqa: E712
    keys = ["learned_pedal", "learned_body", *(["mistake"] if "mistake" in table else [])]
    pairs = refused.sort_values("learn", kind="stable").drop_duplicates(keys)
    return [(_learned(row), row["learn_reason"]) for _, row in pairs.iterrows()]


def _swap(row: pd.Series) -> str:
    if row["group"] in ("pedal", "body"):
        return f"{row['group']} {row[row['group']]} instead of {row['learned_' + row['group']]}"
    if row["group"] == "faulty":
        return f"learned with: {row['mistake']}"
    return summary.GROUPS[row["group"]]


def _learned(row: pd.Series) -> str:
    if row["learn"] == "none":
        return "nothing learned"
    mistake = f" ({row['mistake']})" if row["learn"] == "faulty" else ""
    return f"{row['learned_pedal']} + {row['learned_body']}{mistake}"


def _runs(finished: Finished) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for pick in fault_report.picks(finished.study, finished.table):
        if pick.number not in finished.traces:
            continue
        row = finished.table.iloc[pick.number]
        trace = traces.read_parquet(finished.traces[pick.number])
        marks = [
            Mark(code["time"], code["text"]) for code in json.loads(trace.attrs["about"].get("codes", "[]"))
        ]
        figure = run_plot(trace, marks=marks, unasked_limit=_core.limits()["unasked"][0])
        found.append(
            {
                "why": pick.why[0].upper() + pick.why[1:],
                "answer": row["answer"],
                "case": _case(row),
                "sentence": row["sentence"],
                "file": row["trace"],
                "png": page.png(figure),
            }
        )
    return found


def _case(row: pd.Series) -> str:
    text = f"{row['pedal']} + {row['body']}; learned with: {_learned(row)}"
    return f"{text}; {row['fault'] or 'no fault'}" if "fault" in row else text


def _about(study: Study, table: pd.DataFrame) -> list[tuple[str, str]]:
    import numpy
    import pandas

    ran = int((table["status"] != "not run").sum())
    return [
        ("study file", str(study.path)),
        ("cases", f"{ran} of {len(table)} run"),
        ("parts", f"{len(study.pedals)} pedals, {len(study.bodies)} throttle bodies"),
        ("learn states", "; ".join(study.states)),
        ("stroke", f"{study.stroke.duration:g} s: " + _points(study.stroke)),
        ("brake", _points(study.brake) if study.brake else "none"),
        ("faults", _fault_text(study)),
        ("wiring", study.bench.get("wiring", _core.WiringParameters()).kind),
        ("seed", str(study.seed)),
        ("twintrack", _core.__version__),
        ("Python, NumPy, pandas", f"{platform.python_version()}, {numpy.__version__}, {pandas.__version__}"),
        ("machine", f"{platform.system()} {platform.machine()}"),
    ]  # fmt: skip


def _fault_text(study: Study) -> str:
    if study.every_fault_from is not None:
        return f"{scenario.EVERY}, each from {study.every_fault_from:g} s on"
    return "; ".join(map(repr, study.faults)) or "none"


def _points(stroke: _core.Stroke) -> str:
    """``"0 s 0 %, 2 s 0 %, 3 s 50 %"``: share of pedal travel over time."""
    return ", ".join(f"{t:g} s {100 * p:g} %" for t, p in zip(stroke.time, stroke.travel, strict=True))
