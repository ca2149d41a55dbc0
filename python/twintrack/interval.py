# SPDX-License-Identifier: BSD-3-Clause
"""How sure a share is."""

from __future__ import annotations

import math
import statistics


def wilson(successes: int, total: int, confidence: float = 0.95) -> tuple[float, float]:
    """Wilson's score interval of a probability; NaN for no trials.

    The shares p for which successes/total is within z standard errors √(p(1 − p)/total) of p (E. B. Wilson,
    Probable
    inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22, 1927; from memory).
    """
    if not total:
        return math.nan, math.nan
    z = statistics.NormalDist().inv_cdf(0.5 + 0.5 * confidence)
    share, half = successes / total, z * math.sqrt(successes * (total - successes) / total + z * z / 4)
    middle, scale = share * total + z * z / 2, total + z * z
    low = 0.0 if successes == 0 else (middle - half) / scale
    return low, 1.0 if successes == total else (middle + half) / scale
