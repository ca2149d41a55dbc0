# SPDX-License-Identifier: BSD-3-Clause
"""What the commands have in common: options, and what is done about a user's mistake."""

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


def check_tables(path: Path) -> None:
    """Checks the tables of a study that only some of the commands read."""
    from ..files import toml_file

    table = toml_file.read(path).table
    if "audit" in table:
        from ..audit import study as audit

        audit.load(path)
    if "idle" in table:
        from ..idle import study as idle

        idle.load(path)
    if not {"tolerances", "correlated", "sampling"}.isdisjoint(table):
        from ..campaigns import plan

        plan.load(path)


def refuse(error: InputError) -> NoReturn:
    """The message of a user's mistake, and exit status 2."""
    click.echo(f"twintrack: {error}", err=True)
    sys.exit(2)


study = click.argument("study", type=click.Path(path_type=Path))
out = click.option(
    "--out", required=True, type=click.Path(path_type=Path), help="Folder for the results; made if absent."
)
jobs = click.option(
    "--jobs",
    type=click.IntRange(1, 1024),
    help="Threads [default: one a core]. The results do not depend on it.",
)
quiet = click.option("--quiet", is_flag=True, help="No progress bar.")


def mistakes_in_one_line(function: Callable[..., Any]) -> Callable[..., Any]:
    """A user's mistake ends with its message and exit status 2, without a traceback.

    A study is checked as a whole first, also the tables that the command does not read.
    """

    @functools.wraps(function)
    def wrapped(*args: Any, **kwargs: Any) -> Any:
        try:
            if "study" in kwargs:
                check_tables(kwargs["study"])
            return function(*args, **kwargs)
        except InputError as error:
            refuse(error)

    return wrapped
