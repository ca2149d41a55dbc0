# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack lab``: a page with a bench to play with."""

from __future__ import annotations

from pathlib import Path

import click

from ..cautions import CAUTION
from ..errors import InputError
from .options import errors_in_one_line


@click.command(epilog=CAUTION)
@click.argument("study", required=False, type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("lab.html"),
    show_default=True,
    help="The page to write.",
)
@click.option("--lesson", metavar="NAME", help="Begin where this lesson begins, such as 'two tracks'.")
@errors_in_one_line
def lab(study: Path | None, out: Path, lesson: str | None) -> None:
    """Write a page with a bench to play with: of STUDY's parts, of a lesson, or of the built-in ones.

    One file that runs the simulation in any present browser and fetches nothing: a pedal to press, wires to
    cut, gains and springs to change, the range learn to walk through and to spoil, traces and trouble codes
    as they come.
    """
    from ..files.output import write
    from ..lab import contents, page

    if lesson is not None and study is not None:
        raise InputError("lab: give a study or --lesson, not both")
    if lesson is not None:
        shown = contents.of_lesson(lesson)
    elif study is None:
        shown = contents.built_in()
    else:
        from ..experiments.plan import load

        shown = contents.of_study(load(study).study)
    text = page.page(shown)
    try:
        write(out, text.encode("utf-8"))
    except OSError as error:
        raise InputError(f"{out}: cannot be written: {error.strerror or error}") from error
    click.echo(f"{CAUTION}\n\n{out}")
