# SPDX-License-Identifier: BSD-3-Clause
"""Sentences that every report has: the cautions, the limits of the verdicts."""

from __future__ import annotations

from .. import _core

CAUTIONS = (
    "Simulation is no proof of safety. An electronic throttle can open without warning and hurt people.",
    "At the real thing: engine off, wheels chocked, hands out of the bore while the blade is being driven. "
    "The blade moves by itself during a range learn, and it twitches when the key goes on.",
    "Follow the data of the components' makers, the law where you are, and licensed practice.",
    "The built-in parts are invented for demonstration or cited from literature; none is a part you can buy.",
)


def limit_texts() -> dict[str, dict[str, str]]:
    """Each limit of the verdict as text, with the sentence that says where it comes from."""
    return {
        name: {"value": f"{1000 * value:g} ms" if unit == "s" else f"{100 * value:g} %", "origin": origin}
        for name, (value, unit, origin) in _core.limits().items()
    }
