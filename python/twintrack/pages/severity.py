# SPDX-License-Identifier: BSD-3-Clause
"""One scale of severity for every design: words, what they mean, symbols and colours.

    response    how the throttle follows the pedal: right, wrong, none, uncommanded
    hazard      uncommanded opening beyond a limit for longer than a time ([hazard] of the study), or what a
                design adds to it and says so
    detection   whether a monitor detected what is wrong: in time, late (the hazard was there all the same),
                missed (hazard or wrong response, and no code), not needed, false alarm (nothing is wrong)
    reaction    the furthest rung of the ladder from the fault on; trouble codes of before it do not count

``grade`` is the one word for a cell of a picture. Colours differ in lightness as well as in hue.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from .. import _core


class Look(NamedTuple):
    """How a word is shown."""

    fill: str
    text: str
    symbol: str
    word: str


_HAZARD = Look("#8e0b26", "#ffffff", "▲", "HAZARD")
_WRONG = Look("#f4b942", "#3d2700", "≠", "WRONG")
_GOOD = Look("#d6e9f5", "#12344f", "✔", "right")

#: Every word of the scale, worst first.
LOOKS = {
    "uncommanded": _HAZARD._replace(word="UNCOMMANDED"),
    "hazard": _HAZARD,
    "late": Look("#d9711c", "#ffffff", "◆", "hazard, detected late"),
    "wrong": _WRONG,
    "missed": _WRONG._replace(word="WRONG, missed"),
    "false alarm": Look("#7b3294", "#ffffff", "!", "false alarm"),
    "none": Look("#cfd6dc", "#1b2733", "–", "no response"),
    "in time": Look("#2f6da8", "#ffffff", "●", "detected in time"),
    "refused": Look("#7fae8d", "#10311e", "⊘", "learn refused"),
    "not needed": _GOOD._replace(word="right, nothing detected"),
    "right": _GOOD,
    "": Look("#ffffff", "#5d6b78", "", "not run"),
}

#: The words of each column, worst first.
RESPONSES = ("uncommanded", "wrong", "none", "right")
DETECTIONS = ("missed", "late", "false alarm", "in time", "not needed")
GRADES = ("hazard", "late", "missed", "false alarm", "none", "in time", "refused", "not needed")

MEANING = {
    "right": "settled within {settled} of travel of what the pedal map asks, at rest, half and full",
    "none": "the blade moves less than {moved} of travel",
    "wrong": "the blade moves, but not to what the pedal asks",
    "uncommanded": "open more than {unasked} of travel beyond what is asked, for longer than {unasked_time}",
    "hazard": "an uncommanded opening beyond the limit for longer than the time, and no monitor detects it",
    "late": "a monitor detects it, and the hazard was there all the same",
    "missed": "a wrong response or none, and no monitor detects anything",
    "in time": "a monitor detects it before it is a hazard",
    "refused": "the range learn names a reason and keeps what it knew",
    "not needed": "the response is right and no code is set",
    "false alarm": "a code is set although nothing is wrong",
}

EMPTY = {"response": "", "hazard": False, "detection": "", "reaction": "", "grade": ""}


def rate(
    response: str, hazard: bool, faulty: bool, detected: bool, reaction: str, refused: bool = False
) -> dict[str, Any]:
    """The columns of one case. ``faulty``: something is wrong on the bench or in what was learned;
    ``refused``: the range learn was, which is a detection too."""
    if detected:
        detection = ("late" if hazard else "in time") if faulty else "false alarm"
    else:
        detection = "missed" if hazard or response != "right" else "not needed"
    grade = "hazard" if hazard and detection == "missed" else detection
    if refused and not hazard:
        grade = "refused"
    return {
        "response": response,
        "hazard": hazard,
        "detection": detection,
        "reaction": reaction,
        "grade": grade,
    }


def meanings(words: tuple[str, ...], hazard: tuple[float, float]) -> dict[str, str]:
    """What each word means, with the limits in force."""
    limits = _core.limits()
    values = {name: f"{100 * limits[name][0]:g} %" for name in ("settled", "moved")}
    values |= {"unasked": f"{100 * hazard[0]:g} %", "unasked_time": f"{1000 * hazard[1]:g} ms"}
    return {word: MEANING[word].format(**values) for word in words if word in MEANING}


def worst(words: Any, order: tuple[str, ...] = GRADES) -> str:
    """The worst of several words of one column."""
    there = set(words)
    return next((word for word in order if word in there), "")
