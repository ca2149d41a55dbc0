# SPDX-License-Identifier: BSD-3-Clause
"""Where the C headers are that a controller of one's own is compiled against."""

from __future__ import annotations

from pathlib import Path

from .errors import InputError


def include_dir() -> str:
    """The folder for a C compiler (``-I``). Raises :class:`InputError` where there is none."""
    here = Path(__file__).parent
    for folder in (
        here / "include",
        here.parents[1] / "include",
    ):  # of an installed package, of a source tree
        if (folder / "twintrack" / "c" / "controller.h").is_file():
            return str(folder)
    raise InputError(f"{here}: the C headers are not installed")
