# SPDX-License-Identifier: BSD-3-Clause
"""The wire plan of a bench: ``bench.wiring.plan()``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from .. import _core
from ..errors import InputError
from . import checks
from .checklist import Step, checklist
from .expected import STANDS, Expected
from .wires import Wire, wires

if TYPE_CHECKING:
    import pandas as pd


class WirePlan:
    """What to wire and what to measure; ``print(plan)``, :meth:`table`, :meth:`volts`, :meth:`write`.

    ``findings`` holds what is refused or remarked on. Raises :class:`InputError` for ideal wiring.
    """

    def __init__(self, bench: _core.BenchParameters, joints: Sequence[_core.Joint]) -> None:
        if bench.wiring.kind == "ideal":
            raise InputError("a wire plan needs the wiring 'harness'; this bench has 'ideal'")
        self.bench, self.joints = bench, joints
        self.wires: list[Wire] = wires(bench, joints)
        self.findings = checks.findings(bench, joints, self.wires)

    @property
    def refusals(self) -> list[str]:
        """Why nobody should wire it so; empty when nothing is refused."""
        return [one.text for one in self.findings if one.refused]

    @property
    def remarks(self) -> list[str]:
        return [one.text for one in self.findings if not one.refused]

    def table(self) -> pd.DataFrame:
        """One row a wire, by its label."""
        import pandas as pd

        return pd.DataFrame([asdict(wire) for wire in self.wires]).set_index("label")

    def volts(self) -> pd.DataFrame:
        """What a meter will show at each pin [V] against the controller's ground pin, and what the learn
        will see: nominal, and least and most cold and hot; one row a pin and stand."""
        import pandas as pd

        expected = Expected(self.bench)
        rows = []
        for pin in _core.controller_pins(self.bench.pedal, self.bench.body):
            if pin.startswith("motor"):
                continue
            for stand in STANDS if " signal " in pin else ["at rest"]:
                if pin.startswith("pedal") == stand.startswith("blade") and stand != "at rest":
                    continue
                cold, hot = (expected.at(f"pin {pin}", stand, when) for when in ("cold", "hot"))
                rows.append((pin, stand, cold.nominal, cold.least, cold.most, hot.least, hot.most))
        names = ["pin", "stand", "nominal_v", "cold_least_v", "cold_most_v", "hot_least_v", "hot_most_v"]
        return pd.DataFrame(rows, columns=names)

    @cached_property
    def steps(self) -> list[Step]:
        """What to measure, in order."""
        return checklist(self.bench, self.wires)

    def checklist(self) -> pd.DataFrame:
        """The steps as a table."""
        import pandas as pd

        return pd.DataFrame([asdict(step) for step in self.steps]).set_index("number")

    def labels(self) -> pd.DataFrame:
        """Two labels a wire, one for each end."""
        import pandas as pd

        rows = []
        for wire in self.wires:
            rows += [
                (wire.label, wire.terminal, f"{wire.label}  {wire.terminal} → {wire.pin}"),
                (wire.label, f"pin {wire.pin}", f"{wire.label}  {wire.pin} ← {wire.terminal}"),
            ]
        return pd.DataFrame(rows, columns=["wire", "end", "text"])

    def svg(self) -> str:
        """The drawing, for one landscape A4 page."""
        from .drawing import drawing

        return drawing(self)

    def _repr_svg_(self) -> str:
        return self.svg()

    def write(self, folder: str | Path) -> list[Path]:
        """wires.csv, volts.csv, checklist.csv, labels.csv, plan.svg and plan.html; their paths."""
        from .page import write

        return write(self, Path(folder))

    def __str__(self) -> str:
        from ..pages.text_table import text_table

        rows = [
            [w.label, w.terminal, f"pin {w.pin}", f"{w.section_mm2:g} mm²", f"{w.length_m:g} m", w.fuse,
             f"{1e3 * w.ohms_cold:.0f} … {1e3 * w.ohms_hot:.0f} mΩ", f"{1e3 * abs(w.drop_hot_v):.3g} mV"]
            for w in self.wires
        ]  # fmt: skip
        head = ["wire", "from", "to", "section", "length", "fuse", "cold … hot", "largest drop"]
        lines = [text_table(head, rows)]
        return "\n".join(
            lines
            + [f"REFUSED: {text}" for text in self.refusals]
            + [f"remark: {text}" for text in self.remarks]
        )

    def __repr__(self) -> str:
        return (
            f"<WirePlan: {len(self.wires)} wires, {len(self.refusals)} refusals, {len(self.remarks)} remarks>"
        )
