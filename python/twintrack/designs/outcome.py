# SPDX-License-Identifier: BSD-3-Clause
"""What became of one case, as the columns of a table row."""

from __future__ import annotations

import math
from typing import Any

from .. import _core
from ..pages import severity
from . import idle_columns as idle

#: The columns of numbers: name, and the attribute of the core's result.
NUMBERS = {
    "unasked_opening": "unasked_opening",
    "unasked_time_s": "unasked_time",
    "settling_time_s": "settling_time",
    "error_rest": "error_rest",
    "error_half": "error_half",
    "error_full": "error_full",
    "final_opening": "final_opening",
    "detected_after_s": "detected_after",
}

#: The columns with what stands there for a case that was not run.
EMPTY: dict[str, Any] = {
    "learn_accepted": None,
    "learn_reason": "",
    "learn_refusal": "",
    **dict.fromkeys(NUMBERS, math.nan),
    "first_code_time_s": math.nan,
    "codes": "",
    "sentence": "",
}

#: Those of a bench with an engine.
IDLE = idle.EMPTY


def columns(result: _core.CaseResult) -> dict[str, Any]:
    """The measures of a case that was run."""
    found: dict[str, Any] = {name: getattr(result, attribute) for name, attribute in NUMBERS.items()}
    codes, first = result.codes, result.first_code_time
    found |= {
        "learn_accepted": result.learn_accepted,
        "learn_reason": result.learn_reason,
        "first_code_time_s": math.nan if first is None else first,
        "codes": " ".join([code.text for code in codes]),
        "sentence": result.sentence,
    }
    return found if result.idle is None else found | idle.columns(result.idle)


def rated(result: _core.CaseResult, wrong: bool, faults: bool) -> dict[str, Any]:
    """The severity of a case; ``faults``: codes from before the first of them do not count."""
    answer, report = result.response, result.idle
    hazard = answer == "uncommanded" or (report is not None and report.finding == "dangerous")
    bad = report is not None and report.finding == "wrong"
    refused = result.learn_accepted is False
    detected = refused or (not math.isnan(result.detected_after) if faults else bool(result.codes))
    response = answer
    if bad and response == "right":
        response = "wrong"
    return severity.rate(response, hazard, wrong or refused, detected, result.reaction, refused)
