# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack compare``, ``requirements`` and ``safety``: what results say for a safety case."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import click

from ..cautions import CAUTION
from ..pages.text_table import text_table
from .options import errors_in_one_line

_RESULTS = click.Path(path_type=Path)


@click.command(epilog=CAUTION)
@click.argument("before", type=_RESULTS)
@click.argument("after", type=_RESULTS)
@click.option("--out", type=_RESULTS, metavar="FILE.csv", help="Write all moved verdicts.")
@click.option("--fail-on-worse", is_flag=True, help="End with status 3 when a verdict moved for the worse.")
@errors_in_one_line
def compare(before: Path, after: Path, out: Path | None, fail_on_worse: bool) -> None:
    """Compare the results in BEFORE with those in AFTER: what was changed, which verdicts moved.

    Cases belong together when parts, learn, fault, set-up and drawn values are the same. Margins are shares
    of the rule's limit.
    """
    from ..errors import InputError
    from ..experiments.compare import COLUMNS, compare
    from ..experiments.result import Result
    from ..files import output

    found = compare(Result(before), Result(after))
    if found.changed:
        click.echo(
            text_table(["changed in the study", "before", "after"], [list(row) for row in found.changed])
        )
    else:
        click.echo("The studies are the same.")
    click.echo(f"\n{found.headline}\n")
    if len(found.moved):
        shown = found.moved.sort_values("worse", ascending=False, kind="stable").head(40)
        plain = shown.drop(columns=["worse"]).itertuples(index=False, name=None)
        rows = [[_text(value) for value in row] for row in plain]
        click.echo(text_table(COLUMNS[:-1], rows))
        if len(found.moved) > len(shown):
            click.echo(f"… and {len(found.moved) - len(shown)} more (--out)")
    if out is not None:
        try:
            output.write(out, found.moved.to_csv(index=False).encode())
        except OSError as error:
            raise InputError(f"{out}: cannot be written: {error.strerror or error}") from error
        click.echo(out)
    if fail_on_worse and found.worse:
        click.echo(f"twintrack: {found.worse} verdicts moved for the worse (--fail-on-worse)", err=True)
        sys.exit(3)


def _text(value: object) -> str:
    """Margins with their sign; nothing for none."""
    if isinstance(value, float):
        return "" if math.isnan(value) else f"{value:+.3f}".replace("-", "−")
    return str(value)


@click.command(epilog=CAUTION)
@click.argument("results", type=_RESULTS)
@click.option(
    "--out", type=_RESULTS, metavar="FILE", default=Path("requirements.csv"), show_default=True,
    help="FILE.csv or FILE.reqif (OMG ReqIF 1.2).",
)  # fmt: skip
@errors_in_one_line
def requirements(results: Path, out: Path) -> None:
    """Write what RESULTS hold, from requirement to rule, cases, verdict and replay.

    CSV has a row for each rule and case; ReqIF the cases that failed a rule, or the one that came nearest to
    it. Each has the fingerprint of the study and the version.
    """
    from ..experiments import traceability
    from ..experiments.result import Result

    click.echo(traceability.write(Result(results), out))


@click.command(epilog=CAUTION)
@click.argument("results", type=_RESULTS)
@click.argument("rates", type=_RESULTS)
@errors_in_one_line
def safety(results: Path, rates: Path) -> None:
    """Compute safety metrics from an audit's RESULTS and failure rates in the file RATES.

    Single-point and latent fault metric, diagnostic coverage by element with intervals, detection and
    reaction against the fault-tolerant time. Rates are stated by you, with their source; without them nothing
    is computed. The words are those of ISO 26262; this is no claim of conformity.
    """
    from ..experiments.result import Result
    from ..safety import rates as rate_file
    from ..safety import report
    from ..safety.metrics import CLAIM

    result = Result(results)
    found = report.numbers(result, rate_file.read(rates))
    rows = [[str(cell) for cell in report.row(one, found.limit)] for one in found.elements]
    click.echo(text_table(report.HEAD, rows))
    click.echo(f"\n{report.headline(found)}\n\n{CLAIM}\n\n{report.write(result, found)}")
