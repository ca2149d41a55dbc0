# SPDX-License-Identifier: BSD-3-Clause
"""Runs range learns that go wrong on all cores, drives what was accepted, and writes what came of it."""

from __future__ import annotations

import math
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..files import output as files
from ..pool import Pool
from ..rulebooks import rulebook
from ..studies.study import Pairing, Study
from . import effects as learning_effects
from . import study as learning
from .report import write_picture, write_report
from .result import Learned

if TYPE_CHECKING:
    import pandas as pd

#: Rule sets of a drive, where the study names none; those on the learned range are always held against it.
RULE_SETS = ("student competition 2024", "return to idle", "fault-tolerant time")


def run(
    study: Study, out: str | Path, *, jobs: int | None = None, progress: bool = True, report: bool = True
) -> Learned:
    """Runs every learn and drive; ``out`` gets ``learns.html``, ``learns.png`` and the tables ``learns`` and
    ``learns_verdicts`` as Parquet and CSV.

    ``jobs`` is the number of threads (default: one a core); the results do not depend on it. Ctrl-C stops
    after the learns that are running and keeps what is finished. Raises :class:`InputError` when ``out``
    cannot be written.
    """
    out = Path(out)
    with files.stage(out) as stage:
        found = _run(study, Pool(jobs or os.cpu_count() or 1, progress))
        files.write_table(found.table, stage, "learns")
        files.write_table(found.verdicts, stage, "learns_verdicts")
        if report:
            write_report(found, stage / "learns.html")
            write_picture(found, stage / "learns.png")
        files.publish(stage, out, [])
    return found


def _run(study: Study, pool: Pool) -> Learned:
    trials = learning.trials(study)
    drive_rules = list(study.rules) or [rule for name in RULE_SETS for rule in rulebook.rules(name)]
    rules = [*_core.learned_range_rules(), *drive_rules]
    done = pool.map("learns", lambda i: {"rows": try_one(study, trials[i], i, drive_rules)}, len(trials))
    rows = [row for found in done if found for row in found["rows"]]
    _judge(rows)
    rows.sort(key=_order)
    verdicts = rulebook.collect(rules, [row.pop("verdicts") for row in rows])
    return Learned(study, trials, rules, _frame(rows), verdicts, pool.interrupted)


def try_one(study: Study, trial: Pairing, number: int, rules: list[_core.Rule]) -> list[dict[str, Any]]:
    """The rows of one learn: one when it is refused, else one a drive."""
    learned = _core.run_learn(study.case(trial, number)).result
    about = _about(trial, number) | {
        "accepted": learned.accepted,
        "refusal": "" if learned.accepted else learned.refusal,
        "stopped_in": learned.stopped_in,
        "measured": learned.measured,
        "limit": learned.limit,
    }
    if not learned.accepted:
        return [about | {"after": "", "sentence": learned.reason, "answer": "", "verdicts": None}]
    return [about | _drive(study, drive, number, learned, rules) for drive in learning.drives(trial)]


def _about(trial: Pairing, number: int) -> dict[str, Any]:
    mistake = trial.mistake
    assert mistake is not None
    return {
        "trial": number,
        "pedal": trial.pedal,
        "body": trial.body,
        "mistake": mistake.name,
        "kind": " and ".join(m.name.replace("_", " ") for m in mistake.mishaps) or mistake.name,
        "limits": mistake.limits,
    }


def _drive(
    study: Study, drive: Pairing, number: int, learned: _core.LearnResult, rules: list[_core.Rule]
) -> dict[str, Any]:
    case = study.case(drive, number)
    assert drive.mistake is not None
    assert learned.range is not None
    left = _core.lasting_faults(drive.mistake.core) if drive.mistake.stays else []
    travel = _core.learned_travel(case.parameters, learned.range, faults=left)
    result = _core.run_case(case, learned=learned, trace=True)
    assert result.record is not None
    static = rulebook.evaluate(
        travel, _core.learned_range_rules(), parameters=case.parameters, learned=learned.range
    )
    driven = rulebook.evaluate(result.record, rules, parameters=case.parameters, learned=learned.range)
    verdicts = [*static, *driven]
    return {
        "after": learning.STAYS if drive.mistake.stays else learning.MENDED,
        "sentence": result.sentence,
        "answer": result.answer,
        "unasked_opening": result.unasked_opening,
        "unasked_time_s": result.unasked_time,
        "error_most": max(abs(e) for e in _known(result.error_rest, result.error_half, result.error_full)),
        **learning_effects.columns(case, static, travel, result.record),
        "codes": " ".join(code.text for code in result.codes),
        "first_code_time_s": math.nan if result.first_code_time is None else result.first_code_time,
        "status": result.outcome.status,
        "rules_failed": "; ".join(v.rule for v in verdicts if v.finding == "failed"),
        "verdicts": verdicts,
    }


def _known(*values: float) -> list[float]:
    return [value for value in values if not math.isnan(value)] or [0.0]


def _judge(rows: list[dict[str, Any]]) -> None:
    """Adds the verdict; a rule counts as broken by the mistake when a good learn of the pair keeps it."""
    kept: dict[tuple[str, str], set[str]] = {}
    for row in rows:
        if row["mistake"] == learning.GOOD.name and row["accepted"]:
            kept.setdefault((row["pedal"], row["body"]), set()).update(_split(row["rules_failed"]))
    for row in rows:
        row["verdict"] = "refused"
        row["rules_broken"] = ""
        if row["accepted"]:
            usual = kept.get((row["pedal"], row["body"]), set())
            row["rules_broken"] = "; ".join(r for r in _split(row["rules_failed"]) if r not in usual)
            row["verdict"] = _verdict(row)


def _split(rules: str) -> list[str]:
    return [rule for rule in rules.split("; ") if rule]


def _verdict(row: dict[str, Any]) -> str:
    if row["answer"] == "unsafe" or row["closed_hot"] or row["open_hot"]:
        return "dangerous"
    if row["status"] != "completed":
        return "wrong"
    if row["answer"] in ("wrong", "none"):
        return str(row["answer"])
    return "wrong" if row["rules_broken"] else "harmless"


def _order(row: dict[str, Any]) -> tuple[int, float, int]:
    """The most dangerous first; refused ones last, in the order in which they were tried."""
    rank = list(learning.VERDICTS).index(row["verdict"])
    size = 0.0
    if row["accepted"]:
        size = row["unasked_opening"] if row["verdict"] == "dangerous" else row["error_most"]
    return rank, -size, row["trial"]


_FIRST = ["pedal", "body", "mistake", "limits", "after", "verdict", "refusal", "sentence"]


def _frame(rows: list[dict[str, Any]]) -> pd.DataFrame:
    import pandas as pd

    table = pd.DataFrame(rows, columns=None if rows else _FIRST)
    table = table[_FIRST + [name for name in table.columns if name not in _FIRST]]
    texts = ["answer", "codes", "status", "rules_failed", "rules_broken"]
    for name in (set(texts) & set(table.columns)) | set(_FIRST):
        table[name] = table[name].fillna("").astype("str")
    for name in {"closed_hot", "open_hot"} & set(table.columns):
        table[name] = table[name].astype("boolean")
    table.index.name = "case"
    return table
