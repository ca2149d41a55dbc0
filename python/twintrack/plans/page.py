# SPDX-License-Identifier: BSD-3-Clause
"""The files of a wire plan."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from .. import __version__
from ..files import output
from ..pages.page import report
from ..pages.section import Picture, Section, Table
from .checklist import CAUTIONS

if TYPE_CHECKING:
    from .plan import WirePlan


def write(plan: WirePlan, folder: Path) -> list[Path]:
    """All of them; their paths."""
    output.make_folder(folder)
    texts = {
        "wires.csv": plan.table().to_csv(float_format="%.6g"),
        "volts.csv": plan.volts().to_csv(index=False, float_format="%.4f"),
        "checklist.csv": plan.checklist().to_csv(float_format="%.4g"),
        "labels.csv": plan.labels().to_csv(index=False),
        "plan.svg": plan.svg(),
        "plan.html": page(plan),
    }
    for name, text in texts.items():
        output.write(folder / name, text.encode())
    return [folder / name for name in texts]


def page(plan: WirePlan) -> str:
    """Self-contained HTML."""
    pedal, body = plan.bench.pedal.name, plan.bench.body.name
    rows = [
        (
            *(w.label, w.terminal, f"pin {w.pin}", f"{w.section_mm2:g}", f"{w.length_m:g}"),
            *(w.twisted_with, w.shield, w.fuse),
            *map(_milli, (w.ohms_cold, w.ohms_hot, w.drop_cold_v, w.drop_hot_v)),
            _milli(1e-3 * w.error_hot_percent),
        )
        for w in plan.wires
    ]
    head = ["wire", "from", "to", "mm²", "m", "twisted with", "shield", "fuse"]
    head += ["mΩ cold", "mΩ hot", "mV cold", "mV hot", "reading error [%]"]
    volts = [
        (pin, stand, f"{nominal:.3f}", f"{cold:.3f} … {cold_most:.3f}", f"{hot:.3f} … {hot_most:.3f}")
        for pin, stand, nominal, cold, cold_most, hot, hot_most in plan.volts().to_numpy().tolist()
    ]
    steps = [(s.number, s.state, s.measure, s.expect, s.caution, "☐") for s in plan.steps]
    findings = [("refused" if f.refused else "remark", f.where, f.what, f.reason) for f in plan.findings]
    sections = [
        Section("Drawing", [Picture("Every wire", plan.svg())]),
        Section("Wires", [Table(head, rows, "Drops of motor, supply and ground with the motor stalled")]),
        Section("Refusals and remarks", [Table(["", "where", "what", "reason"], findings)]),
        Section(
            "Measurements before key-on",
            [
                *CAUTIONS,
                Table(
                    ["", "state", "measure", "expect", "caution", "done"], steps, "Checklist, in this order"
                ),
            ],
        ),
        Section(
            "Expected readings",
            [
                Table(
                    ["pin", "stand", "volts", "cold", "hot"],
                    volts,
                    "Volts against the controller's ground pin",
                )
            ],
        ),
        Section("Labels", [Table(["wire", "end", "text"], plan.labels().to_numpy().tolist())]),
    ]
    state = f"refused: {'; '.join(plan.refusals)}" if plan.refusals else "no wire is refused"
    headline = f"{len(plan.wires)} wires join {pedal}, {body} and the controller; {state}."
    about = [("pedal", pedal), ("throttle body", body), ("twintrack", __version__)]
    return report("Wire plan", headline, CAUTIONS[:2], sections, about)


def _milli(value: float) -> str:
    return "" if math.isnan(value) else f"{1e3 * value:.3g}"
