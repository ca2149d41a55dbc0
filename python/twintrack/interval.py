# SPDX-License-Identifier: BSD-3-Clause
"""How sure a share is."""

from __future__ import annotations

import math


def wilson(successes: int, total: int, confidence: float = 0.95) -> tuple[float, float]:
    """Wilson's score interval of a probability; NaN for no trials.

    The shares p for which successes/total is within z standard errors √(p(1 − p)/total) of p (E. B. Wilson,
    Probable
    inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22, 1927; from memory).
    """
    if not total:
        return math.nan, math.nan
    from scipy.stats import binomtest

    interval = binomtest(successes, total).proportion_ci(confidence, method="wilson")
    return float(interval.low), float(interval.high)
