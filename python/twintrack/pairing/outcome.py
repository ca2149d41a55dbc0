# SPDX-License-Identifier: BSD-3-Clause
"""What became of one case, as the columns of a table row."""

from __future__ import annotations

import math
from typing import Any

from .. import _core

#: The columns of text.
TEXTS = ("learn_reason", "answer", "sentence", "codes", "outcome", "rules_failed", "status")

#: The columns of numbers; NaN: there is none.
NUMBERS = (
    "unasked_opening",
    "unasked_time_s",
    "settling_time_s",
    "error_rest",
    "error_half",
    "error_full",
    "final_opening",
    "first_code_time_s",
)


def columns(result: _core.CaseResult, failed_rules: list[str]) -> dict[str, Any]:
    """The row of a case that was run."""
    return {
        "learn_accepted": result.learn_accepted,
        "learn_reason": result.learn_reason,
        "answer": result.answer,
        "sentence": result.sentence,
        "unasked_opening": result.unasked_opening,
        "unasked_time_s": result.unasked_time,
        "settling_time_s": result.settling_time,
        "error_rest": result.error_rest,
        "error_half": result.error_half,
        "error_full": result.error_full,
        "final_opening": result.final_opening,
        "codes": " ".join(code.text for code in result.codes),
        "first_code_time_s": math.nan if result.first_code_time is None else result.first_code_time,
        "status": result.outcome.status,
        "outcome": result.outcome.reason,
        "rules_failed": "; ".join(failed_rules),
    }


def none(status: str, reason: str = "") -> dict[str, Any]:
    """The row of a case that was not run."""
    empty: dict[str, Any] = dict.fromkeys(TEXTS, "") | dict.fromkeys(NUMBERS, math.nan)
    return empty | {"learn_accepted": None, "status": status, "outcome": reason}
