# SPDX-License-Identifier: BSD-3-Clause
"""Learned ranges as files: JSON that can be read, compared and edited.

A file carries version and checksum. An edited one is refused until its ``checksum`` line is taken out, which
says that the edit was meant.
"""

from __future__ import annotations

import json
from pathlib import Path

from .. import _core
from ..errors import InputError
from ..files.text_file import read_text


def save_range(learned: _core.LearnedRange, path: str | Path) -> None:
    """Writes a learned range; an existing file is replaced as a whole or not at all.

    Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real
    throttle: engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
    """
    path = Path(path)
    try:
        part = path.with_name(path.name + ".part")
        part.write_text(json.dumps(learned.to_dict(), indent=1) + "\n", encoding="utf-8")
        part.replace(path)
    except (OSError, ValueError) as error:
        raise InputError(f"{path}: cannot be written: {getattr(error, 'strerror', None) or error}") from None


def load_range(path: str | Path) -> _core.LearnedRange:
    """Reads a learned range; raises :class:`InputError` for a file that is damaged, foreign or none."""
    text = read_text(Path(path))
    try:
        values = json.loads(text)
    except RecursionError:
        raise InputError(f"{path}: nested too deeply for a learned range") from None
    except ValueError as error:
        raise InputError(f"{path}: not valid JSON: {error}") from None
    if not isinstance(values, dict):
        raise InputError(f"{path}: a learned range is one JSON object")
    try:
        return _core.LearnedRange.from_dict(values)
    except _core.InvalidParameter as error:
        raise InputError(f"{path}: {error}") from None
