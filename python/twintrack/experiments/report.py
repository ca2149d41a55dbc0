# SPDX-License-Identifier: BSD-3-Clause
"""The one report: headline first, then the picture that answers, tables, traces, rules, what was run."""

from __future__ import annotations

import platform
from pathlib import Path
from typing import Any

from .. import _core
from ..cautions import ENGINE_CAUTION
from ..designs.shown import traces
from ..errors import InputError
from ..files import output
from ..pages import page, severity
from ..pages.section import Cell, Section, Table
from ..rulebooks import margin as margins
from ..studies.fault_text import fault_text
from . import counted, scatter
from .plan import Plan

REPORT = "report.html"

#: Cases that a table of a whole design is made from; of more only what streams is told.
_WHOLE = 20_000


def headline(result: Any) -> str:
    """The answer in a few sentences."""
    if _sampled(result.plan):
        return scatter.headline(result)
    if _counted(result):
        return counted.headline(result)
    return str(result.plan.design.headline(result.table)) if len(result) else "No case is finished."


def _sampled(plan: Plan) -> bool:
    """Whether the cases are a sample; those of an adaptive design are not."""
    return plan.scatters and not plan.design.adaptive


def _counted(result: Any) -> bool:
    return len(result) > _WHOLE and not _sampled(result.plan) and not result.plan.design.adaptive


def tally(result: Any) -> tuple[list[str], list[list[str]]]:
    """Head and rows of the table that the terminal shows."""
    if _counted(result):
        return counted.HEAD, [[str(cell) for cell in row] for row in counted.rows(result)]
    if _sampled(result.plan):
        rows = [
            [
                word,
                str(s.hits),
                scatter.percent(s.estimate),
                f"{scatter.percent(s.low)} … {scatter.percent(s.high)}",
            ]
            for word, s in result.shares().items()
        ]
        return ["grade", "cases", "probability", "95 %"], rows
    found: tuple[list[str], list[list[str]]] = result.plan.design.tally(result.table)
    return found


def write(result: Any, wanted: int | None = None) -> Path:
    """Renders ``report.html`` in the result's folder; ``wanted``: how many cases there should be."""
    path = result.folder / REPORT
    text = page.report(
        result.plan.study.title, headline(result), _warnings(result, wanted), sections(result), _about(result)
    )
    try:
        output.write(path, text.encode())
    except OSError as error:
        raise InputError(
            f"{path}: cannot be written: {error.strerror or error}; the cases are kept, and the same command "
            "writes the report again"
        ) from error
    return Path(path)


def sections(result: Any) -> list[Section]:
    """All sections of the report, in order."""
    plan: Plan = result.plan
    if not len(result):
        return []
    if _sampled(plan) or _counted(result):
        whole = scatter.sections(result) if _sampled(plan) else counted.sections(result)
        found = [*whole, Section("Traces", traces(result, _worst(result)))]
    else:
        found = list(plan.design.sections(result, result.table))
    if rules := _rules(result):
        found.append(Section("Written rules", [rules]))
    words = severity.meanings((*severity.RESPONSES, *severity.GRADES), plan.design.hazard)
    meaning = Table(["word", "meaning"], [(Cell(word), text) for word, text in words.items()])
    limits = [
        (name, f"{value:g} {unit}".strip(), origin) for name, (value, unit, origin) in _core.limits().items()
    ]
    found.append(Section("Scale of severity", [meaning, Table(["limit", "value", "origin"], limits)]))
    return found


def _worst(result: Any) -> dict[int, str]:
    """The worst case of each grade."""
    return {number: severity.LOOKS[grade].word for number, grade in result.worst_of_each().items()}


def _rules(result: Any) -> Table | None:
    """How often each written rule failed, by set-up where the design has them; the most often first."""
    plan: Plan = result.plan
    group = ["setup"] if "setup" in plan.design.columns else []
    rows: list[tuple[Any, ...]] = []
    for rule in [*plan.design.more_rules, *plan.design.rules]:
        finding, margin = f"rule: {rule.name}", f"margin: {rule.name}"
        columns = [finding, margin, *group]
        table = result.table[columns] if len(result) <= _WHOLE else result.to_pandas(columns)
        told = f"{rule.source}, {rule.clause}".strip(", "), rule.sentence, rule.basis
        for name, part in table.groupby(group, sort=False) if group else [((), table)]:
            failed, passed = (int((part[finding] == word).sum()) for word in ("failed", "passed"))
            least = part[margin].min()
            word = Cell("missed" if failed else "right" if passed else "", _FOUND[bool(failed), bool(passed)])
            where = int(part[margin].idxmin()) if failed and part[margin].notna().any() else ""
            rows.append((rule.name, *name, word, failed, passed, margins.of_rule(least, rule), where, *told))
    rows.sort(key=lambda row: -row[2 + len(group)])
    own = "setup|" if group else ""
    head = f"rule|{own}finding|failed|passed|least margin|worst case|source, clause|what it asks|numbers"
    return (
        Table(head.split("|"), rows, "Cases to which a rule does not apply are not counted") if rows else None
    )


_FOUND = {
    (True, True): "failed",
    (True, False): "failed",
    (False, True): "passed",
    (False, False): "not applicable",
}


def _warnings(result: Any, wanted: int | None) -> list[str]:
    found = []
    if len(result) < (wanted or 0):
        found.append(
            f"Not finished: {len(result)} of {wanted} cases are; the same command goes on with the others."
        )
    counts = result.counts(["status"]).set_index("status")["cases"] if len(result) else {}
    for name, count in dict(counts).items():
        if name != "completed":
            found.append(f"{count} cases: {name}. The column 'outcome' says why.")
    return [*found, *([ENGINE_CAUTION] if result.plan.study.engine else [])]


def _about(result: Any) -> list[tuple[str, str]]:
    plan: Plan = result.plan
    study = plan.study
    solvers = result.counts(["solver"]).set_index("solver")["cases"] if len(result) else {}
    found = [
        ("study file", str(study.path)),
        ("design", plan.design.name),
        (
            "cases",
            f"{len(result):,}: "
            + ", ".join(f"{n:,} in {name or 'none'}" for name, n in dict(solvers).items()),
        ),
        ("parts", f"{len(study.pedals)} pedals, {len(study.bodies)} throttle bodies"),
        ("learn states", "; ".join(study.states)),
        ("stroke", f"{plan.design.stroke.duration:g} s: {_points(plan.design.stroke)}"),
        ("brake", _points(study.brake) if study.brake else "none"),
        ("faults", "; ".join(fault_text(fault) for fault in study.faults) or "those of the design, if any"),
        ("wiring", study.bench.get("wiring", _core.WiringParameters()).kind),
        (
            "hazard",
            "{:g} % of travel for longer than {:g} ms".format(
                *(limit * s for limit, s in zip(plan.design.hazard, (100, 1000), strict=True))
            ),
        ),
        ("sampling", plan.sampling.method if _sampled(plan) else "nothing scatters but noise"),
        ("seed", str(plan.seed)),
        ("fingerprint", plan.fingerprint()[:16]),
        ("twintrack", f"{_core.__version__}, Python {platform.python_version()}, {platform.machine()}"),
    ]
    return found


def _points(stroke: _core.Stroke) -> str:
    """``"0 s 0 %, 2 s 0 %, 3 s 50 %"``: share of pedal travel over time."""
    return ", ".join(f"{t:g} s {100 * p:g} %" for t, p in zip(stroke.time, stroke.travel, strict=True))
