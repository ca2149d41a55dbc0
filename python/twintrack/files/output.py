# SPDX-License-Identifier: BSD-3-Clause
"""Files that are there as a whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from ..errors import InputError

#: Before the name of a file that is being written.
UNFINISHED = ".unfinished-"


def write(path: Path, content: bytes) -> None:
    """The file appears at once, when it is on the disk. OSError when it cannot be written."""
    unfinished = path.with_name(UNFINISHED + path.name)
    try:
        with unfinished.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def make_folder(path: Path) -> Path:
    """The folder for results, made if absent; raises :class:`InputError` when it cannot be."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        reason = getattr(error, "strerror", None) or error
        raise InputError(f"{path}: cannot write results here: {reason}") from error
    return path
