# SPDX-License-Identifier: BSD-3-Clause
"""The wiring of a bench, to be read: as a table, as a diagram, and with all that can go wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .. import _core
from ..errors import InputError

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.figure import Figure

    from ..plans.plan import WirePlan

#: The controller's own wires, by the place a fault names.
POWER = ("controller supply", "controller ground")


class Wiring:
    """Which terminal goes to which pin, through what. Print it, or look at :meth:`table` and :meth:`plot`."""

    def __init__(self, parameters: _core.BenchParameters) -> None:
        self._parameters = parameters
        chosen = parameters.wiring.pin_out
        self.joints: Sequence[_core.Joint] = chosen or _core.correct_pin_out(
            parameters.pedal, parameters.body
        )

    @property
    def remarks(self) -> list[str]:
        """What is odd about the pin-out, in sentences; it is simulated all the same."""
        return list(_core.remarks(self._parameters))

    def table(self) -> pd.DataFrame:
        """One row a terminal: connector, pin ("" where it is not connected), section, length, resistance."""
        import pandas as pd

        pins = {joint.terminal: joint.pin for joint in self.joints}
        rows = [
            {
                "terminal": terminal,
                "connector": connector,
                "pin": pins.get(terminal, ""),
                **self._wire(terminal),
            }
            for connector, terminal in _core.pair_terminals(self._parameters.pedal, self._parameters.body)
        ]
        rows += [
            {"terminal": name, "connector": "", "pin": pin, **self._wire(name)}
            for name, pin in zip(POWER, ("battery", "ground"), strict=True)
        ]
        return pd.DataFrame(rows).set_index("terminal")

    def _wire(self, terminal: str) -> dict[str, object]:
        parameters = self._parameters.wiring
        harness = parameters.harness
        wire = {POWER[0]: harness.supply_wire, POWER[1]: harness.ground_wire}.get(
            terminal, harness.motor_wire if terminal.startswith("motor") else harness.sensor_wire
        )
        if parameters.kind == "ideal":
            return {"section_mm2": float("nan"), "length_m": 0.0, "resistance_ohm": 0.0, "shielded": False}
        return {
            "section_mm2": wire.section_mm2,
            "length_m": wire.length,
            "resistance_ohm": wire.resistance,
            "shielded": wire.shielded,
        }

    def faults(self, start: float = 0.0) -> list[_core.Fault]:
        """Every single fault this wiring can have, generated from its terminals; from ``start`` [s] on."""
        return _core.every_single_wiring_fault(self._parameters.pedal, self._parameters.body, start=start)

    def plot(self, fault: _core.Fault | None = None) -> Figure:
        """The wiring as a diagram, with the fault marked when one is given."""
        from .plot import wiring_diagram

        return wiring_diagram(self._parameters, self.joints, fault)

    def plan(self, *, refuse: bool = True) -> WirePlan:
        """What to wire, of what, and what to measure before key-on.

        Raises :class:`InputError` with each reason when something is left out, joined that must be apart, or
        beyond a limit; with ``refuse=False`` the plan only says so.
        """
        from ..plans.plan import WirePlan

        made = WirePlan(self._parameters, self.joints)
        if refuse and made.refusals:
            raise InputError("the wire plan is refused: " + "; ".join(made.refusals))
        return made

    def __str__(self) -> str:
        table = self.table().reset_index()
        table["resistance_ohm"] = [f"{1000 * ohms:.1f} mΩ" for ohms in table.pop("resistance_ohm")]
        lines = [table.rename(columns={"resistance_ohm": "resistance"}).to_string(index=False)]
        return "\n".join(lines + [f"remark: {remark}" for remark in self.remarks])

    def __repr__(self) -> str:
        return f"<Wiring: {self._parameters.wiring.kind}, {len(self.joints)} wires>"
