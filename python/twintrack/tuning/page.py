# SPDX-License-Identifier: BSD-3-Clause
"""The files of a tuning: controller.toml, wishes.csv, candidates.csv and tune.html."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from .. import __version__
from ..cautions import CAUTION
from ..files import output
from ..pages.page import report, svg
from ..pages.section import Lines, Picture, Section, Table
from . import plot
from .tuned import HEAD, Candidate, Tuned

CAUTIONS = (
    "These gains are for a body as it is described, in a simulation. On a real part the blade moves by "
    "itself, hard and without warning, and an unstable loop slams it against its stops.",
    "Hands out of the bore, engine off, a supply with a current limit and a switch in reach; begin with "
    "smaller gains and raise them in small steps.",
)


_FRONT = ["settling", "duty_noise", "overshoot", "phase_margin", "gain_margin"]


def write(found: Tuned, name: str, folder: Path) -> list[Path]:
    """The four files; ``name`` is that of the body. Their paths."""
    import pandas as pd

    output.make_folder(folder)
    head = "".join(f"# {line}\n" for line in (f"Tuned for {name}, by twintrack {__version__}.", CAUTION))
    rows = [vars(row) for row in found.table]
    candidates = [_row(c) for c in found.candidates]
    texts = {
        "controller.toml": head + found.toml,
        "wishes.csv": pd.DataFrame(rows).to_csv(index=False),
        "candidates.csv": pd.DataFrame(candidates).to_csv(index=False, float_format="%.6g"),
        "tune.html": page(found, name),
    }
    for file, text in texts.items():
        output.write(folder / file, text.encode())
    return [folder / file for file in texts]


def headline(found: Tuned) -> str:
    """One sentence."""
    broken = [row.wish for row in found.table if not row.met]
    tried = f"{len(found.candidates)} settings tried, the best on {found.draws} bodies around the nominal one"
    if not broken:
        return f"All wishes are met: {tried}."
    return f"Not met: {', '.join(broken)} ({tried})."


def page(found: Tuned, name: str) -> str:
    """Self-contained HTML."""
    step = found.steps
    curves = {k: np.round(np.degrees(v), 4).tolist() for k, v in step.curves.items()}
    settings = [tuple(pair) for pair in found.settings.items()]
    front = [_FRONT, *([f"{(c.worst or {})[n]:.4g}" for n in _FRONT] for c in found.front)]
    sections = [
        Section("Wishes", [Table(HEAD, [row.texts for row in found.table])]),
        Section(
            "Step response",
            [
                "The nominal body and the draws that are worst in some wish, under the same pedal step.",
                Lines("Blade", step.time.tolist(), curves, "time [s]", "angle [°]"),
            ],
        ),
        Section(
            "Trade-off of settling and noise",
            [
                "All settings, on the nominal body, and the finalists at their worst draws.",
                Picture("Candidates", svg(plot.front(found))),
                Table(front[0], front[1:], "Pareto front at the worst draws"),
            ],
        ),
        Section("Settings", [Table(["setting", "value"], settings), "As a table of a study file: "
                             "controller.toml.", *CAUTIONS]),
    ]  # fmt: skip
    about = [("body", name), ("draws", str(found.draws)), ("twintrack", __version__)]
    return report("Tuning of the position controller", headline(found), CAUTIONS, sections, about)


def _row(c: Candidate) -> dict[str, float]:
    settings = {n: getattr(c.controller, n) for n in Tuned.NAMES}
    worst = {f"worst {n}": v for n, v in (c.worst or dict.fromkeys(c.values, float("nan"))).items()}
    return settings | c.values | worst
