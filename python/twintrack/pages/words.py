# SPDX-License-Identifier: BSD-3-Clause
"""Sentences that every report has: the cautions."""

from __future__ import annotations

CAUTIONS = (
    "Simulation is no proof of safety. An electronic throttle can open without warning and hurt people.",
    "At the real thing: engine off, wheels chocked, hands out of the bore while the blade is being driven. "
    "The blade moves by itself during a range learn, and it twitches when the key goes on.",
    "Follow the data of the components' makers, the law where you are, and licensed practice.",
    "The built-in parts are invented for demonstration or cited from literature; none is a part you can buy.",
)
