# SPDX-License-Identifier: BSD-3-Clause
"""The commands ``twintrack campaign`` and ``twintrack show``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from ..campaigns.settings import ENGINES
from ..pages.text_table import text_table
from . import options as cli_options
from .options import mistakes_in_one_line


@click.command()
@cli_options.study
@click.option("--cases", required=True, type=cli_options.CASES, help="How many cases the campaign has.")
@cli_options.out
@cli_options.jobs
@click.option("--scheduler", metavar="ADDRESS", help="Of a Dask scheduler whose workers run the cases.")
@click.option(
    "--engine",
    type=click.Choice(ENGINES),
    default="lanes",
    show_default=True,
    help="lanes: side by side in fixed steps, if a case can; exact: error-controlled.",
)
@click.option(
    "--chunk",
    type=cli_options.CASES,
    help="Cases of one file; a kill costs a core that many at most [default: 100 exact, 256 in lanes].",
)
@cli_options.quiet
@mistakes_in_one_line
def campaign(
    study: Path,
    cases: int,
    out: Path,
    jobs: int | None,
    scheduler: str | None,
    engine: str,
    chunk: int | None,
    quiet: bool,
) -> None:
    """Run many cases of STUDY, whose [tolerances] say what scatters.

    Finished cases lie in OUT/cases as Parquet files, safe from the moment they appear. Stop it (Ctrl-C),
    kill it or
    lose power: the same command goes on where it was. With more --cases only the new ones are run. A study
    that
    was changed needs another folder. OUT/report.html says how often each verdict comes, how soon faults are
    seen, which parameters matter, and shows the worst cases.
    """
    from ..campaigns.drive import drive
    from ..campaigns.plan import load
    from ..campaigns.report import write_report
    from ..campaigns.results import Results

    plan = load(study, engine)
    done = drive(plan, out, cases, jobs=jobs, scheduler=scheduler, chunk=chunk, progress=not quiet)
    results = Results(out)
    if len(results):
        click.echo(_tell(results))
        write_report(results, out / "report.html", wanted=cases)
        click.echo(f"\n{out / 'report.html'}")
    for failure in done.failures:
        click.echo(f"twintrack: not finished: {failure}", err=True)
    if done.interrupted:
        click.echo(
            f"twintrack: stopped by Ctrl-C; {len(results)} of {cases} cases are finished; "
            "the same command goes on",
            err=True,
        )
        sys.exit(130)
    if done.failures:
        sys.exit(1)


def _tell(results: Any) -> str:
    from ..campaigns.report import percent

    rows = [
        [verdict, f"{s.hits}", percent(s.estimate), f"{percent(s.low)} … {percent(s.high)}"]
        for verdict, s in results.shares().items()
    ]
    text = text_table(["verdict", "cases", "probability", "95 % interval"], rows)
    status = results.counts(["status"])
    other = status[status["status"] != "completed"]
    return text + "".join(f"\n{count} cases: {name}" for name, count in other.itertuples(index=False))


@click.command()
@click.argument("results", type=click.Path(path_type=Path))
@click.argument("case", type=click.IntRange(min=0))
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder for trace and plot [default: RESULTS/replays]."
)
@mistakes_in_one_line
def show(results: Path, case: int, out: Path | None) -> None:
    """Replay one CASE of a campaign's RESULTS alone, with the very values it had.

    Says what was drawn and what became of it, compares it to the bit with what is stored, and writes the
    trace (Parquet) and a plot (PNG).
    """
    from ..campaigns.replay import describe, write
    from ..campaigns.results import Results

    replay = Results(results).replay(case)
    click.echo(describe(replay))
    for path in write(replay, out or results / "replays"):
        click.echo(path)
    if replay.differences:
        click.echo(
            f"twintrack: the replay differs from what is stored in: {', '.join(replay.differences)} "
            "(another machine or build than the campaign's?)",
            err=True,
        )
        sys.exit(1)
