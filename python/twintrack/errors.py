# SPDX-License-Identifier: BSD-3-Clause
"""One kind of error for every mistake a user can make in a file or on the command line."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class InputError(ValueError):
    """A mistake in what the user gave: one message with file, line, key, value and what is allowed."""


def listing(names: Iterable[str]) -> str:
    """The names in one line, or "none"."""
    return ", ".join(names) or "none"


def closest(word: str, known: Iterable[str]) -> str:
    """``"; did you mean x?"`` when something similar exists, else an empty text."""
    match = difflib.get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f"; did you mean {match[0]!r}?" if match else ""
