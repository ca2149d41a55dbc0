# SPDX-License-Identifier: BSD-3-Clause
"""What an audit gave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .study import Audit, AuditCase

if TYPE_CHECKING:
    import pandas as pd


Pair = tuple[str, str]


@dataclass(frozen=True)
class Audited:
    """What an audit gave.

    ``cases`` has one row a run with a fault, ``healthy`` one a run without, ``faults`` one a set-up and fault
    (the worst over the instants), ``coverage`` one a set-up and group of faults, ``verdicts`` one a case and
    rule. ``instants`` says for each pair when each instant is [s]. ``pictured`` holds, for the worst case of
    each kind of fault, its number and its traces by set-up, ``""`` being the healthy one.
    """

    audit: Audit
    listed: list[AuditCase]
    cases: pd.DataFrame
    healthy: pd.DataFrame
    faults: pd.DataFrame
    coverage: pd.DataFrame
    verdicts: pd.DataFrame
    instants: dict[Pair, dict[str, float]]
    pictured: dict[str, tuple[int, dict[str, pd.DataFrame]]]
    interrupted: bool
