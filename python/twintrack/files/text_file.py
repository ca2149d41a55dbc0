# SPDX-License-Identifier: BSD-3-Clause
"""Text files of the user, read whole: only regular ones, and of a size that a person can have meant."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from ..errors import InputError

#: Largest file that is read [bytes].
LARGEST = 1_000_000


def read_text(path: Path) -> str:
    """The text, without a byte order mark; raises :class:`InputError` for a file that cannot be read."""
    try:
        with open(_opened(path), "rb") as file:
            data = file.read(LARGEST + 1)
    except InputError:
        raise
    except OSError as error:
        raise InputError(f"{path}: cannot be read: {error.strerror or error}") from error
    except ValueError as error:  # a NUL in the path
        raise InputError(f"{path}: cannot be read: {error}") from error
    if len(data) > LARGEST:
        raise InputError(f"{path}: larger than {LARGEST // 1000} kB, which is the largest file that is read")
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise InputError(f"{path}: not a text file in UTF-8 (byte {error.start})") from error


def _opened(path: Path) -> int:
    """A descriptor, so that what was looked at is what is read; a FIFO must not be waited for."""
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    mode = os.fstat(descriptor).st_mode
    if stat.S_ISREG(mode):
        return descriptor
    os.close(descriptor)
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(21, "Is a directory")
    raise InputError(f"{path}: cannot be read: not a regular file")
