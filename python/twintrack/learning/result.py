# SPDX-License-Identifier: BSD-3-Clause
"""What the learns of a study gave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .. import _core
from ..studies.study import Pairing, Study

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Learned:
    """What the learns of a study gave.

    ``table`` has one row a refused learn and one a drive after an accepted one, the most dangerous first
    within what was accepted; ``verdicts`` one row a drive and rule, its ``case`` the row of ``table``.
    ``trials`` are the learns in the order of the table's column ``trial``.
    """

    study: Study
    trials: list[Pairing]
    rules: list[_core.Rule]
    table: pd.DataFrame
    verdicts: pd.DataFrame
    interrupted: bool
