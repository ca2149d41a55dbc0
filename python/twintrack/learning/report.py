# SPDX-License-Identifier: BSD-3-Clause
"""One self-contained page on range learns that go wrong, the most dangerous accepted mistakes first."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..files import traces
from ..pages import page
from ..pages.matrix import LOOKS, Cell, Matrix, pairing_matrix
from ..pages.plot import Mark, run_plot
from ..pages.words import CAUTIONS, limit_texts
from ..rulebooks import report as rule_report
from ..studies.mistakes import LIMITS
from . import effects as learning_effects
from . import study as learning
from .plot import Curve, error_plot
from .procedure_plot import procedure_plot
from .result import Learned

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.figure import Figure


_PICTURED = 5  # kinds of mistakes that are shown in full


def write_report(done: Learned, path: Path) -> None:
    """Renders the page; the learns it pictures are run once more for their traces."""
    path.write_text(page.render("learning/learning.html.j2", _content(done)), encoding="utf-8")


def write_picture(done: Learned, path: Path) -> None:
    """The matrix of mistakes by limits as a PNG picture."""
    matrix(done.table).savefig(path, dpi=110)


def headline(done: Learned) -> str:
    """The answer of the whole study in a few sentences."""
    table = _mistaken(done.table)
    counts = {name: int((table["verdict"] == name).sum()) for name in learning.VERDICTS}
    tried = table["trial"].nunique()
    text = [f"Of {tried} learns with a mistake {counts['refused']} are refused."]
    driven = len(table) - counts["refused"]
    if driven:
        text.append(
            f"The {tried - counts['refused']} that are accepted make {driven} drives: "
            f"{counts['dangerous']} DANGEROUS, {counts['wrong']} WRONG, {counts['none']} without an answer, "
            f"{counts['harmless']} harmless."
        )
    for limits in _limits(table):
        part = table[table["limits"] == limits]
        refused, total = int((part["verdict"] == "refused").sum()), part["trial"].nunique()
        text.append(f"{limits.capitalize()} limits refuse {refused} of {total}.")
    bad = (
        table[(table["verdict"] == "dangerous") & (table["limits"] == _limits(table)[0])]
        if len(table)
        else table
    )
    if len(bad):
        kinds = ", ".join(dict.fromkeys(bad["kind"]))
        text.append(f"DANGEROUS even under {_limits(table)[0]} limits: {kinds}.")
    return " ".join(text)


def tally(table: pd.DataFrame) -> list[list[str]]:
    """One row for each of the limits: drives by verdict, without the good learns."""
    table = _mistaken(table)
    return [
        [
            limits,
            *(
                str(int(((table["limits"] == limits) & (table["verdict"] == v)).sum()))
                for v in learning.VERDICTS
            ),
        ]
        for limits in _limits(table)
    ]


def _mistaken(table: pd.DataFrame) -> pd.DataFrame:
    return table[table["mistake"] != learning.GOOD.name]


def _limits(table: pd.DataFrame) -> list[str]:
    there = set(table["limits"])
    return [name for name in LIMITS if name in there]


def matrix(table: pd.DataFrame) -> Figure:
    """What each kind of mistake comes to under each of the limits: the worst of its drives."""
    cells: dict[tuple[str, str], Cell] = {}
    kinds = list(dict.fromkeys(table["kind"]))  # in the table's order: the most dangerous first
    for (kind, limits), rows in table.groupby(["kind", "limits"], sort=False):
        cells[str(kind), str(limits)] = Cell(rows.iloc[0]["verdict"], _note(rows))
    kinds.sort(key=lambda kind: kind == learning.GOOD.name)
    title = "What a mistake during the learn comes to, at worst"
    names = [f"{name} limits" for name in _limits(table)]
    named = {(kind, f"{limits} limits"): cell for (kind, limits), cell in cells.items()}
    return pairing_matrix(Matrix(title, "", "", kinds, names, named, cell_width=2.2))


def _note(rows: pd.DataFrame) -> str:
    row = rows.iloc[0]
    amount = _amount(row)
    if row["verdict"] == "refused":
        return ", ".join(dict.fromkeys(rows["refusal"]))
    if row["verdict"] == "dangerous":
        what = (
            f"{100 * row['unasked_opening']:.0f} % unasked"
            if row["answer"] == "unsafe"
            else "hot at the stop"
        )
    elif row["verdict"] == "none":
        what = str(row["codes"]).split(" ")[0] or "motor off"
    elif row["verdict"] == "wrong":
        what = f"{100 * row['error_most']:.0f} % off" if row["answer"] == "wrong" else "a rule broken"
    else:
        refused = int((rows["verdict"] == "refused").sum())
        return f"or refused ({refused} of {rows['trial'].nunique()} learns)" if refused else ""
    return what + (f" ({amount})" if amount else "")


def _amount(row: pd.Series) -> str:
    return str(row["mistake"]).removeprefix(str(row["kind"])).strip()


def _content(done: Learned) -> dict[str, Any]:
    table = done.table
    limits = {name: limit["value"] for name, limit in limit_texts().items()}
    labels = [_label(row) for _, row in table.iterrows()]
    rules = rule_report.content(done.rules, done.verdicts, labels, list(table["limits"]))
    accepted, refused = table[table["verdict"] != "refused"], table[table["verdict"] == "refused"]
    return {
        "title": done.study.title,
        "headline": headline(done),
        "looks": LOOKS,
        "cards": [
            {"verdict": name, "meaning": text.format(**limits)} for name, text in learning.VERDICTS.items()
        ],
        "matrix": page.svg(matrix(table)),
        "pictures": _pictures(done),
        "tally": tally(table),
        "verdicts": list(learning.VERDICTS),
        "bad": _accepted(accepted[accepted["verdict"] != "harmless"]),
        "harmless": _accepted(accepted[accepted["verdict"] == "harmless"]),
        "refused": _refused(refused),
        "rules": page.render("rulebooks/rules.html.j2", rules | {"file": "learns_verdicts.csv"}),
        "cautions": CAUTIONS,
        "version": _core.__version__,
        "study": str(done.study.path),
        "interrupted": done.interrupted,
    }


def _label(row: pd.Series) -> str:
    after = f", {row['after']}" if row["after"] else ""
    return f"{row['mistake']}, {row['limits']} limits{after} ({row['pedal']} + {row['body']})"


def _percent(share: float, sign: str = "") -> str:
    if math.isnan(share):
        return "–"
    return f"{100 * share:{sign}z.1f}".replace("-", "−")


def _accepted(table: pd.DataFrame) -> list[dict[str, Any]]:
    """One row a mistake, verdict and whether it was mended: the numbers of its worst drive."""
    keys = ["mistake", "verdict", "after"]
    return [_drives(rows) for _, rows in table.groupby(keys, sort=False)]


def _drives(rows: pd.DataFrame) -> dict[str, Any]:
    row = rows.iloc[0]
    pairs = len(rows[["pedal", "body"]].drop_duplicates())
    return {
        "verdict": row["verdict"],
        "mistake": row["mistake"],
        "limits": ", ".join(_limits(rows)),
        "after": row["after"],
        "pair": f"{row['pedal']} + {row['body']}" + (f" and {pairs - 1} more" if pairs > 1 else ""),
        "sentence": row["sentence"],
        "error": [_percent(row[f"{name}_error"], "+") for name in ("pedal", "blade")],
        "ends": [
            f"{_percent(row[f'{name}_zero_at'])} … {_percent(row[f'{name}_full_at'])}"
            for name in ("pedal", "blade")
        ],
        "demand": [
            f"{_percent(row[f'asked_{at}'])} → {_percent(row[f'reached_{at}'])}"
            for at in ("rest", "half", "full")
        ],
        "stop": list(filter(None, [_stop(row, "closed"), _stop(row, "open")])) or ["–"],
        "margin": [_percent(row[f"{name}_margin_left"]) for name in ("pedal", "throttle")],
        "rules": row["rules_broken"],
    }


def _stop(row: pd.Series, name: str) -> str:
    """``"closed: hit at 3.1 rad/s, held 1.2 s with 2.4 A"``; empty when the blade never came there."""
    parts = []
    if row[f"{name}_impact_rad_s"] > 0.05:
        parts.append(f"hit at {row[f'{name}_impact_rad_s']:.1f} rad/s")
    if row[f"{name}_held_s"] >= 0.05:
        parts.append(f"held {row[f'{name}_held_s']:.1f} s with {row[f'{name}_current_rms_a']:.1f} A rms")
    return f"{name}: {', '.join(parts)}" if parts else ""


def _refused(table: pd.DataFrame) -> list[dict[str, str]]:
    """One row a mistake and refusal: which limits and pairs refuse it so, and the sentence of the first."""
    found = []
    for (mistake, refusal), rows in table.groupby(["mistake", "refusal"], sort=False):
        pairs = dict.fromkeys(rows["pedal"] + " + " + rows["body"])
        found.append(
            {
                "mistake": str(mistake),
                "refusal": str(refusal),
                "limits": ", ".join(_limits(rows)),
                "pairs": ", ".join(pairs),
                "step": ", ".join(dict.fromkeys(rows["stopped_in"])),
                "sentence": rows.iloc[0]["sentence"],
            }
        )
    return found


def _pictures(done: Learned) -> list[dict[str, Any]]:
    """The worst accepted mistakes, one a kind, and one that was refused."""
    table = _mistaken(done.table)
    bad = table[table["verdict"].isin(["dangerous", "wrong", "none"])].drop_duplicates("kind").head(_PICTURED)
    refused = table[table["verdict"] == "refused"].head(1)
    return [_picture(done, row) for part in (bad, refused) for _, row in part.iterrows()]


def _picture(done: Learned, row: pd.Series) -> dict[str, Any]:
    trial = done.trials[int(row["trial"])]
    drive = trial if row["after"] != learning.STAYS else learning.drives(trial)[1]
    case = done.study.case(drive, int(row["trial"]))
    learned = _core.run_learn(case)
    figure = procedure_plot(traces.to_pandas(learned.record), learned.state, reason=learned.reason)
    shown: dict[str, Any] = {
        "label": _label(row),
        "verdict": row["verdict"],
        "sentence": row["sentence"],
        "procedure": page.png(figure, 100),
        "errors": "",
        "run": "",
    }
    if learned.range is None:
        return shown
    left = _core.lasting_faults(drive.mistake.core) if drive.mistake and drive.mistake.stays else []
    travel = _core.learned_travel(case.parameters, learned.range, faults=left)
    result = _core.run_case(case, learned=learned.result, trace=True)
    assert result.record is not None
    marks = [Mark(code.confirmed, code.text) for code in result.codes]
    run = run_plot(traces.to_pandas(result.record), marks=marks, unasked_limit=_core.limits()["unasked"][0])
    return shown | {"errors": page.svg(_errors(row, travel)), "run": page.png(run, 100)}


def _errors(row: pd.Series, travel: _core.Record) -> Figure:
    def curve(name: str, believed: str, true: str) -> Curve:
        error = learning_effects.error(travel, believed, true)
        return Curve(
            "as learned", np.asarray(travel[true]), error, row[f"{name}_zero_at"], row[f"{name}_full_at"]
        )

    return error_plot(
        [curve("pedal", "pedal.position", "pedal.travel")], [curve("blade", "opening", "blade.opening")]
    )
