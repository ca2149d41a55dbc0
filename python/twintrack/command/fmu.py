# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack fmu``: one case of a study as a functional mock-up unit."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ..cautions import CAUTION
from . import options as cli_options
from .options import errors_in_one_line


@click.command(epilog=CAUTION)
@cli_options.study
@click.option("--bench", "kind", flag_value="bench", default="bench", help="All of it: foot in, blade out.")
@click.option("--plant", "kind", flag_value="plant", help="Without controller: duty in, readings out.")
@click.option(
    "--controller", "kind", flag_value="controller", help="The built-in controller: readings in, duty out."
)
@click.option("--fmi", type=click.Choice(["2", "3"]), default="2", show_default=True, help="Version.")
@click.option("--case", type=click.IntRange(min=0), default=0, show_default=True, help="Which case of STUDY.")
@click.option("--json", "plain", is_flag=True, help="Only the JSON that a program in C reads (c/bench.h).")
@click.option("--out", type=click.Path(path_type=Path), required=True, metavar="FILE", help="The new file.")
@errors_in_one_line
def fmu(study: Path, kind: str, fmi: str, case: int, plain: bool, out: Path) -> None:
    """Export one case of STUDY for co-simulation (FMI, Linux on x86-64).

    The file needs nothing else. Every field of the bench is a parameter, every single fault of the pair a
    switch; the learned range is that of the case.
    """
    from ..errors import InputError
    from ..fmu import document, export

    values = document.of_study(study, kind, case)
    if not plain:
        click.echo(export.write(values, out, int(fmi)))
        return
    try:
        out.write_text(json.dumps(values, allow_nan=False, indent=1) + "\n", encoding="utf-8")
    except OSError as error:
        raise InputError(f"{out}: cannot be written: {error.strerror or error}") from error
    click.echo(out)
