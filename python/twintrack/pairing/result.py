# SPDX-License-Identifier: BSD-3-Clause
"""What a run of a study gave."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ..studies.study import Study

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Finished:
    """What a run of a study gave: one row a case in input order, and where each trace was written.

    ``verdicts`` has one row a case and rule of the study; it is empty when the study names no rules.
    """

    study: Study
    table: pd.DataFrame
    traces: dict[int, Path]
    interrupted: bool
    verdicts: pd.DataFrame
