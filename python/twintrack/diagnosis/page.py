# SPDX-License-Identifier: BSD-3-Clause
"""The files of an answer: causes.csv and explain.html."""

from __future__ import annotations

from pathlib import Path

from .. import __version__
from ..files import output
from ..pages.page import report
from ..pages.section import Bars, Section, Table
from .answer import Answer
from .explain import Diagnosis
from .readings import shown

CAUTIONS = (
    "Before a hand comes near the blade: key off, motor leads off at the controller. Engine off and "
    "wheels chocked for "
    "everything that does not ask for a running one.",
    "A cause that is found here is found in a simulation of two parts as they are described; measure "
    "before you mend. "
    "Makers' data, local law and licensed practice come first.",
)


def write(model: Diagnosis, answer: Answer, folder: Path) -> list[Path]:
    """Both files; their paths."""
    output.make_folder(folder)
    output.write(folder / "causes.csv", answer.to_pandas().to_csv(index=False, float_format="%.6g").encode())
    output.write(folder / "explain.html", page(model, answer).encode())
    return [folder / "causes.csv", folder / "explain.html"]


def page(model: Diagnosis, answer: Answer) -> str:
    """Self-contained HTML."""
    groups = answer.shown_groups(12)
    bars = [
        (g.text, g.probability, g.probability, g.probability, f"{100 * g.probability:.1f} %") for g in groups
    ]
    observed = [
        (k, r.text, shown(r, float(v)) if r.number else v or "none")
        for k, (r, v) in enumerate(answer.observed.items(), 1)
    ]
    head = ["cause", "family", *(f"[{k}]" for k in range(1, len(observed) + 1))]
    rows = [(g.text, g.family, *(answer.expected(r, g.causes[0]) for r in answer.observed)) for g in groups]
    following = [
        (
            s.reading.text,
            s.caution,
            f"{s.gain:.2f}",
            f"{s.minutes:g}",
            "; ".join(f"{v} if {c}" for c, v in s.expect),
        )
        for s in model.next(answer)
    ]
    known = model.known
    what = Table(
        ["what", "how", "gain [bit]", "minutes", "expect"], following, "Best first, by expected information"
    )
    enough = "No further measurement distinguishes the causes that are left."
    sections = [
        Section("Observed", [Table(["", "what", "value"], observed)]),
        Section("Causes", [Bars(bars, "Probability"), Table(head, rows, "Expected reading of each cause")]),
        Section(
            "Next measurement",
            [what if following else enough, *CAUTIONS],
        ),
    ]
    if answer.contradiction:
        said = [answer.disagreement, *answer.disagreeing]
        sections[0] = Section("Observed", [*sections[0].parts, *said])
    about = [
        ("pair", f"{known.design.bench.pedal.name} with {known.design.bench.body.name}"),
        ("dictionary", f"{len(known.causes)} causes × {known.draws} draws of the tolerances"),
        ("twintrack", __version__),
    ]
    best = answer.best
    share = f"{100 * best.probability:.1f} %"
    headline = f"{best.text}: {share}, of {len(known.causes)} causes and what none of them explains."
    return report("Diagnosis", headline, CAUTIONS, sections, about)
