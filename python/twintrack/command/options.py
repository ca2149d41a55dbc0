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
from ..pages.severity import GRADES

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
unit = click.option(
    "--unit",
    multiple=True,
    metavar="[ROLE=]MODULE:FACTORY|FILE.so|FILE.fmu",
    help="A controller of your own in place of the built-in one: a Python function (learned, bench, period) "
    "-> object with step(), a shared object in C (twintrack/c/controller.h), or an FMU (needs fmpy). "
    "monitor=MODULE:FACTORY and learn=MODULE:FACTORY replace these. Runs your code; cases then run in the "
    "exact solver.",
)
isolate = click.option(
    "--isolate",
    is_flag=True,
    help="Run a shared object in processes of its own: a crash, or a tick that takes more than 1 s, ends "
    "its case only. Slower.",
)
fail_on = click.option(
    "--fail-on",
    multiple=True,
    type=click.Choice(GRADES),
    help="End with status 3 when a case has this grade; may be given several times.",
)
verdicts = click.option(
    "--verdicts",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the verdict of each case, for a test system: FILE.xml (JUnit) or FILE.json.",
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
