# SPDX-License-Identifier: BSD-3-Clause
"""One kind of error for every error a user can make in a file or on the command line."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

#: Longest message, in characters: what it repeats of the input is cut.
LONGEST = 900


class InputError(ValueError):
    """An error in what the user gave: one message with file, line, key, value and what is allowed."""

    def __init__(self, message: str) -> None:
        super().__init__(shortened(message, LONGEST))


def shortened(text: str, most: int) -> str:
    """The text with at most ``most`` characters, the middle of a longer one left out; control characters
    become a sign that can be printed."""
    if len(text) > most:
        text = f"{text[: 2 * most // 3]} … {text[len(text) - most // 3 + 3 :]}"
    return "".join(c if c.isprintable() or c == "\n" else "\ufffd" for c in text)


def listing(names: Iterable[str]) -> str:
    """The names in one line, or "none"."""
    return ", ".join(names) or "none"


def closest(word: str, known: Iterable[str]) -> str:
    """``"; did you mean x?"`` when something similar exists, else an empty text."""
    if len(word) > 100:
        return ""
    match = difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f"; did you mean {match[0]!r}?" if match else ""
