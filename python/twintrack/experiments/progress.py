# SPDX-License-Identifier: BSD-3-Clause
"""What one call did."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass
class Progress:
    """How many cases it ran, whether Ctrl-C ended it, and which ranges failed and why."""

    ran: int = 0
    interrupted: bool = False
    failures: list[str] = field(default_factory=list)
    ended: bool = False  #: nothing is left to run, however many cases that are (of an adaptive design)
