# SPDX-License-Identifier: BSD-3-Clause
"""The page of an identification."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from .. import __version__
from ..cautions import EXPERIMENT_CAUTIONS
from ..files import output
from ..pages.page import report, svg
from ..pages.section import Picture, Section, Table
from . import plot
from .result import EXPERIMENTS, Identification


def write(found: Identification, out: Path) -> list[str]:
    """identify.html, estimates.csv and, unless only ratios are told, body.toml in the folder; their names."""
    import pandas as pd

    rows = [(e.label, e.unit, e.value, e.deviation, e.low, e.high, e.start, e.told) for e in found.estimates]
    names = ["unknown", "unit", "value", "deviation", "low", "high", "start", "told"]
    folder = output.make_folder(out)
    output.write(folder / "identify.html", page(found).encode())
    output.write(folder / "estimates.csv", pd.DataFrame(rows, columns=names).to_csv(index=False).encode())
    body = folder / "body.toml"
    if found.fit.ratios_only:
        body.unlink(missing_ok=True)  # of an earlier log
        return ["estimates.csv", "identify.html"]
    found.write_body(body)
    return ["body.toml", "estimates.csv", "identify.html"]


def page(found: Identification) -> str:
    """Self-contained HTML."""
    log = found.log
    lively = _liveliest(log, 2.0)
    told = [
        "unknown",
        "estimate",
        f"{100 * found.confidence:g} % interval",
        "standard deviation",
        "started from",
        "",
    ]
    tests = [(t.signal, t.test, f"{t.value:.4g}", f"{t.p:.3g}") for t in found.tests]
    sections = [
        Section("Estimates", [Table(told, found.table()), *found.remarks]),
        Section(
            "Logged and simulated",
            [
                "The simulation sees the voltage only.",
                Picture("Log", svg(plot.signals(found))),
                Picture("Two seconds of the log", svg(plot.signals(found, begin=lively, end=lively + 2.0))),
            ],
        ),
        Section(
            "Residuals",
            [
                "White residuals lie in the shaded band but for one in twenty.",
                Picture("Residuals", svg(plot.residuals(found))),
                Table(["signal", "test", "value", "p"], tests, "Are the residuals white?"),
            ],
        ),
        Section(
            "Intervals", [Picture("Estimates relative to the starting body", svg(plot.intervals(found)))]
        ),
        _together(found),
        Section(
            "How it was found",
            [
                "First values by linear regression, stage by stage; then all unknowns together by robust "
                "least squares on the simulated signals, led by the measured angle at first and then left "
                "alone.",
                Table(["stage", "samples", "first values", ""], [_stage(s) for s in found.fit.stages]),
            ],
        ),
        Section(
            "What to do next",
            [Table(["least sure", "log this too"], _advice(found)), *EXPERIMENT_CAUTIONS],
        ),
    ]
    about = [
        ("log", Path(log.source).name),
        ("length", f"{log.time[-1]:.4g} s"),
        ("twintrack", f"{__version__}"),
    ]
    return report("A throttle body from a log", headline(found), EXPERIMENT_CAUTIONS[:1], sections, about)


def _together(found: Identification) -> Section:
    rows = [(f"{100 * d.deviation:.2g} %", f"{1.0 / d.deviation:.3g}", d.text) for d in found.directions]
    head = ["deviation", "singular value", "combination"]
    return Section(
        "What the log tells of all together",
        [
            "Combinations that are told independently of each other. A large deviation: the log cannot tell "
            "this combination, though it may tell each unknown of it when the others are known.",
            Table(head, rows, "Singular values of the sensitivities, the least first"),
        ],
    )


def headline(found: Identification) -> str:
    """One sentence."""
    body = [e for e in found.estimates if e.name in EXPERIMENTS and e.told and e.value]
    if not body:
        return "The log tells nothing of the body."
    worst = max(body, key=lambda e: e.deviation / abs(e.value))
    what = "ratios" if found.fit.ratios_only else "parameters"
    rest = float(np.degrees(np.nanstd(found.residuals["angle"])))
    return (
        f"{len(body)} {what} from {found.log.time[-1]:.3g} s of log; the least sure, {worst.label}, to "
        f"{100 * worst.deviation / abs(worst.value):.2g} %. The simulated angle differs by {rest:.2g}° rms."
    )


def _stage(stage: Any) -> tuple[str, str, str, str]:
    values = ", ".join(f"{n} {v:.4g}" for n, v in stage.values.items()) or "–"
    return stage.name, str(stage.samples), values, stage.remark


def _advice(found: Identification) -> list[tuple[str, str]]:
    """The three least sure unknowns and those not told, with the experiment that would show them."""
    body = [e for e in found.estimates if e.name in EXPERIMENTS and e.value]
    unsure = sorted(body, key=lambda e: -e.deviation / abs(e.value))[:3]
    names = [*found.fit.unseen, *(e.name for e in unsure)]
    return [(name, EXPERIMENTS[name]) for name in dict.fromkeys(names)]


def _liveliest(log: Any, seconds: float) -> float:
    """Where the voltage changes most within so many seconds."""
    width = min(round(seconds / log.period), len(log.voltage) - 1)
    moved = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(log.voltage)))])
    return float(log.period * int(np.argmax(moved[width:] - moved[:-width])))
