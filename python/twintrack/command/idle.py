# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack idle``: the maps of an idle."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from . import options as cli_options
from .options import mistakes_in_one_line


@click.command()
@cli_options.study
@cli_options.out
@cli_options.jobs
@cli_options.quiet
@mistakes_in_one_line
def idle(study: Path, out: Path, jobs: int | None, quiet: bool) -> None:
    """Map the idle of STUDY's pairs: engine speed against tracks that do not match, and faulty learns.

    The study needs an engine (scenario = "idle", or [bench] engine); its table [idle] may say how far and how
    finely. idle.html, idle.png, idle_mishaps.png and the tables idle_*.parquet and .csv appear in the folder.
    """
    from ..idle import map as idle_map
    from ..idle import page as idle_page
    from ..idle.study import load

    maps = idle_map.run(load(study), out, jobs=jobs, progress=not quiet)
    click.echo(f"{idle_page.headline(maps)}\n\n{out / 'idle.html'}")
    if maps.interrupted:
        click.echo("twintrack: stopped by Ctrl-C; the cases not run are missing", err=True)
        sys.exit(130)
