# SPDX-License-Identifier: BSD-3-Clause
"""A design written from DEVELOPERS.md alone: deposits that grow over months × monitor set-ups."""

from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import ClassVar

import twintrack as tt
from twintrack.designs.design import Design, Spec
from twintrack.pages.section import Cell, HeatMap, Section
from twintrack.studies.setups import setup
from twintrack.studies.study import Pairing

SETUPS, MONTHS = ("strict", "default", "careless"), range(0, 37, 12)


@dataclass(frozen=True)
class Deposits(Design):
    """Deposits that move the closed stop by 0.9 mrad a month after the learn × monitor set-ups."""

    name = "deposits"
    columns: ClassVar = {"setup": "", "months": 0}

    @cached_property
    def changes(self):
        return {name: {"monitor": setup(name)} for name in SETUPS}

    @cached_property
    def specs(self):
        found = []
        for pedal, body, months, name in product(self.study.pedals, self.study.bodies, MONTHS, SETUPS):
            grown = tt.Fault(where="body.closed_stop", what="shift", amount=9e-4 * months)
            pairing = Pairing(pedal, body, "fresh", pedal, body)
            faults = (grown,) if months else ()
            found.append(Spec(pairing, {"setup": name, "months": months}, faults, name))
        return found

    def headline(self, table):
        return f"{int((table['grade'] == 'missed').sum())} of {len(table)} cases are wrong and missed."

    def tally(self, table):
        counts = table.groupby(["setup", "grade"], sort=False).size()
        return ["set-up", "grade", "cases"], [[*key, str(count)] for key, count in counts.items()]

    def sections(self, result, table):
        cells = {(row["setup"], str(row["months"])): Cell(row["grade"]) for _, row in table.iterrows()}
        columns = [str(months) for months in MONTHS]
        return [Section("Grade", [HeatMap("Deposits", "set-up", "months", SETUPS, columns, cells)])]
