# SPDX-License-Identifier: BSD-3-Clause
"""Margins of rules as people say them."""

from __future__ import annotations

import math

from .. import _core
from ..units import RPM, show
from .text import text_of


def of_rule(share: float, rule: _core.Rule) -> str:
    """A margin, given as a share of the rule's limit, in its unit; speeds of the engine in rpm."""
    margin = share * rule.scale
    if rule.unit == "rad/s" and "engine.speed" in text_of(rule.requires):
        return margin_text(margin / RPM, "rpm")
    return margin_text(margin, rule.unit)


def margin_text(margin: float, unit: str) -> str:
    """``"−12.3 %"``-like text: shares in per cent, others with their unit; infinite: yes or no."""
    if math.isnan(margin):
        return ""
    if math.isinf(margin):
        return "yes or no"
    if margin == 0:
        return "0"
    text = f"{100 * margin:+.1f} %" if not unit else f"{'+' if margin >= 0 else ''}{show(margin, unit)}"
    return text.replace("-", "−")
