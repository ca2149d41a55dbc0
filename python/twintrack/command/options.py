# SPDX-License-Identifier: BSD-3-Clause
"""What the commands have in common: the study, and what is done about a user's error."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

import click

from ..errors import InputError

#: Most cases that a run may have.
MOST_CASES = 100_000_000

#: Number of cases on a command line.
CASES = click.IntRange(1, MOST_CASES)


def refuse(error: InputError) -> NoReturn:
    """The message of a user's error, and exit status 2."""
    click.echo(f"twintrack: {error}", err=True)
    sys.exit(2)


out = click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("results"),
    show_default=True,
    help="Folder for the results; made if absent.",
)
study = click.argument("study", type=click.Path(path_type=Path))


def errors_in_one_line(function: Callable[..., Any]) -> Callable[..., Any]:
    """A user's error ends with its message and exit status 2, without a traceback."""

    @functools.wraps(function)
    def wrapped(*args: Any, **kwargs: Any) -> Any:
        try:
            return function(*args, **kwargs)
        except InputError as error:
            refuse(error)

    return wrapped
