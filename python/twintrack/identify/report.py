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
    """identify.html, estimates.csv and, unless it has ratios only, body.toml in the folder; their names."""
    import pandas as pd

    rows = [
        (e.label, e.unit, e.value, e.deviation, e.low, e.high, e.start, e.identifiable)
        for e in found.estimates
    ]
    names = ["unknown", "unit", "value", "deviation", "low", "high", "start", "identifiable"]
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
    head = [
        "unknown",
        "estimate",
        f"{100 * found.confidence:g} % interval",
        "standard deviation",
        "started from",
        "",
    ]
    tests = [(t.signal, t.test, f"{t.value:.4g}", f"{t.p:.3g}") for t in found.tests]
    sections = [
        Section("Estimates", [Table(head, found.table()), *found.remarks]),
        Section(
            "Logged and simulated",
            [
                "The simulation is driven by the logged voltage only.",
                Picture("Log", svg(plot.signals(found))),
                Picture("Two seconds of the log", svg(plot.signals(found, begin=lively, end=lively + 2.0))),
            ],
        ),
        Section(
            "Residuals",
            [
                "Of white residuals 95 % of the correlations lie in the shaded band.",
                Picture("Residuals", svg(plot.residuals(found))),
                Table(["signal", "test", "value", "p"], tests, "Tests of whiteness"),
            ],
        ),
        Section(
            "Confidence intervals",
            [Picture("Estimates relative to the starting body", svg(plot.intervals(found)))],
        ),
        _together(found),
        Section(
            "Method",
            [
                "First values by linear regression, stage by stage; then all unknowns together by robust "
                "least squares on the simulated signals, corrected by the measured angle at first, in open "
                "loop at the end.",
                Table(["stage", "samples", "first values", ""], [_stage(s) for s in found.fit.stages]),
            ],
        ),
        Section(
            "Further experiments",
            [Table(["least certain", "experiment to log"], _advice(found)), *EXPERIMENT_CAUTIONS],
        ),
    ]
    about = [
        ("log", Path(log.source).name),
        ("length", f"{log.time[-1]:.4g} s"),
        ("twintrack", f"{__version__}"),
    ]
    return report(
        "Identification of a throttle body", headline(found), EXPERIMENT_CAUTIONS[:1], sections, about
    )


def _together(found: Identification) -> Section:
    rows = [(f"{100 * d.deviation:.2g} %", f"{1.0 / d.deviation:.3g}", d.text) for d in found.directions]
    head = ["deviation", "singular value", "combination"]
    return Section(
        "Identifiability",
        [
            "Combinations that are estimated independently. A large deviation: this combination "
            "is not identifiable from the log, though each of its unknowns may be when the others are known.",
            Table(head, rows, "Singular values of the sensitivities, the least first"),
        ],
    )


def headline(found: Identification) -> str:
    """One sentence."""
    body = [e for e in found.estimates if e.name in EXPERIMENTS and e.identifiable and e.value]
    if not body:
        return "No parameter of the body is identifiable from this log."
    worst = max(body, key=lambda e: e.deviation / abs(e.value))
    what = "ratios" if found.fit.ratios_only else "parameters"
    rest = float(np.degrees(np.nanstd(found.residuals["angle"])))
    return (
        f"{len(body)} {what} from {found.log.time[-1]:.3g} s of log; the least certain, {worst.label}, to "
        f"{100 * worst.deviation / abs(worst.value):.2g} %. The simulated angle differs by {rest:.2g}° rms."
    )


def _stage(stage: Any) -> tuple[str, str, str, str]:
    values = ", ".join(f"{n} {v:.4g}" for n, v in stage.values.items()) or "–"
    return stage.name, str(stage.samples), values, stage.remark


def _advice(found: Identification) -> list[tuple[str, str]]:
    """The three least certain unknowns and those not identifiable, each with an experiment for it."""
    body = [e for e in found.estimates if e.name in EXPERIMENTS and e.value]
    unsure = sorted(body, key=lambda e: -e.deviation / abs(e.value))[:3]
    names = [*found.fit.unseen, *(e.name for e in unsure)]
    return [(name, EXPERIMENTS[name]) for name in dict.fromkeys(names)]


def _liveliest(log: Any, seconds: float) -> float:
    """Where the voltage changes most within so many seconds."""
    width = min(round(seconds / log.period), len(log.voltage) - 1)
    moved = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(log.voltage)))])
    return float(log.period * int(np.argmax(moved[width:] - moved[:-width])))
