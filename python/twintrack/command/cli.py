# SPDX-License-Identifier: BSD-3-Clause
"""The command ``twintrack``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from .. import __version__
from ..cautions import CAUTION
from . import options as cli_options
from . import text as cli_text
from .design_test import design_test
from .evidence import compare, requirements, safety
from .explain import explain
from .fmu import fmu
from .identify import identify
from .lab import lab
from .options import errors_in_one_line
from .plan import plan as wire_plan
from .tune import tune

HELP = """Simulates electronic throttle control: foot, pedal, wiring, controller, throttle body.

\b
A study file says which pedals meet which throttle bodies, and what is asked of them:
    title  = "My pairing"
    design = "pairing"               # or "audit", "search", … (twintrack list designs)
    pedals = ["all"]                 # names, "all", or "my_pedal.toml"
    bodies = ["all"]
    learn  = ["none", "stale", "fresh"]
    [bench]
    supply = "12.6 V"                # quantities are text with a unit

\b
Then:
    twintrack list parts             which parts there are; also faults, rules, disturbances, signals, designs
    twintrack check study.toml       is the file right, how many cases
    twintrack run study.toml --out results
    twintrack show results 17        replays one case alone
and open results/report.html. At the real bench:
    twintrack plan study.toml        what to wire, what to measure before key-on
    twintrack explain observed.toml  from symptoms to causes, and what to measure next
After a change of a threshold or of a part:
    twintrack compare before after   which verdicts moved
    twintrack requirements results   requirement, rule, cases, verdict, replay (CSV, ReqIF)
    twintrack safety audit rates.toml    metrics from detections and your failure rates
As an interactive page for the browser:
    twintrack lab study.toml --out lab.html
With [tolerances] parameters scatter (examples/campaign.toml):
    twintrack run study.toml --out results --cases 100000

The throttle follows the pedal correctly, incorrectly, not at all, or opens uncommanded; the report says what
each means, whether it is a hazard, and whether a monitor detects it in time.

"""


def _version(context: click.Context, _parameter: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        click.echo(f"twintrack {__version__}")
        context.exit()


@click.group(
    help=HELP + CAUTION, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110}
)
@click.option(
    "--version", is_flag=True, expose_value=False, is_eager=True, callback=_version, help="Print the version."
)
def main() -> None:
    pass


@main.command(epilog=CAUTION)
@cli_options.study
@cli_options.out
@click.option(
    "--cases",
    type=cli_options.CASES,
    help="How many cases [default: all that the design has; 1000 where parameters scatter].",
)
@click.option(
    "--solver",
    type=click.Choice(["lanes", "exact"]),
    default="lanes",
    show_default=True,
    help="lanes: side by side in fixed steps, if a case can; exact: error-controlled.",
)
@click.option(
    "--jobs",
    type=click.IntRange(1, 1024),
    help="Threads [default: one a core]. The results do not depend on it.",
)
@click.option("--scheduler", metavar="ADDRESS", help="Of a Dask scheduler whose workers run the cases.")
@cli_options.unit
@cli_options.isolate
@cli_options.fail_on
@cli_options.verdicts
@click.option("--quiet", is_flag=True, help="No progress bar.")
@errors_in_one_line
def run(
    study: Path,
    out: Path,
    cases: int | None,
    solver: str,
    jobs: int | None,
    scheduler: str | None,
    unit: tuple[str, ...],
    isolate: bool,
    fail_on: tuple[str, ...],
    verdicts: Path | None,
    quiet: bool,
) -> None:
    """Run every case of STUDY and write the results.

    Finished cases lie in OUT/cases as Parquet files, safe from the moment they appear. Stop it (Ctrl-C), kill
    it or lose power: the same command goes on where it was. With more --cases only the new ones are run. A
    study that was changed needs another folder. OUT/report.html has the answer, pictures, tables and traces.
    """
    from ..experiments import report
    from ..experiments.drive import drive
    from ..experiments.plan import load
    from ..experiments.result import Result
    from ..experiments.verdict_files import write_verdicts
    from ..pages.text_table import text_table
    from ..studies import own_controller

    units = own_controller.units(own_controller.by_role(unit), isolate)
    plan = load(study, solver).with_units(units)
    _remark(plan)
    done = drive(plan, out, cases, jobs=jobs, scheduler=scheduler, progress=not quiet)
    result, wanted = Result(out, units), cases or plan.cases
    wanted = len(result) if done.ended else wanted
    if len(result):
        click.echo(text_table(*report.tally(result)))
        click.echo(f"\n{result.headline}\n\n{CAUTION}\n\n{report.write(result, wanted)}")
    if verdicts:
        click.echo(write_verdicts(result, verdicts))
    for failure in done.failures:
        click.echo(f"twintrack: not finished: {failure}", err=True)
    if done.interrupted:
        click.echo(
            f"twintrack: stopped by Ctrl-C; {len(result)} of {wanted} cases are finished; "
            "the same command goes on",
            err=True,
        )
        sys.exit(130)
    status: dict[str, int] = dict(result.counts(["status"]).itertuples(index=False)) if len(result) else {}
    for name, count in status.items():
        if name not in ("completed", "refused"):
            click.echo(f"twintrack: {count} cases: {name}; see the column 'outcome'", err=True)
            sys.exit(1)
    if done.failures:
        sys.exit(1)
    _fail_on(result, fail_on)


def _fail_on(result: Any, grades: tuple[str, ...]) -> None:
    """Status 3 when a case has one of these grades."""
    counts = result.counts(["grade"]).set_index("grade")["cases"] if grades and len(result) else {}
    there = {grade: int(counts[grade]) for grade in grades if grade in counts}
    for grade, count in there.items():
        cases = "case" if count == 1 else "cases"
        click.echo(f"twintrack: {count} {cases} with the grade {grade!r} (--fail-on)", err=True)
    if there:
        sys.exit(3)


@main.command(epilog=CAUTION)
@click.argument("results", type=click.Path(path_type=Path))
@click.argument("case", type=click.IntRange(min=0))
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder for trace and plot [default: RESULTS/replays]."
)
@click.option("--mdf4", is_flag=True, help="Write the trace as MDF4 too (needs asammdf).")
@cli_options.unit
@cli_options.isolate
@errors_in_one_line
def show(
    results: Path, case: int, out: Path | None, mdf4: bool, unit: tuple[str, ...], isolate: bool
) -> None:
    """Replay one CASE of RESULTS alone, with the very values it had.

    Says what was drawn and what became of it, compares it to the bit with what is stored, and writes the
    trace (Parquet) and a plot (PNG).
    """
    from ..experiments.replay import describe, write
    from ..experiments.result import Result
    from ..studies import own_controller

    replay = Result(results, own_controller.units(own_controller.by_role(unit), isolate)).replay(case)
    click.echo(f"{describe(replay)}\n\n{CAUTION}\n")
    for path in write(replay, out or results / "replays", mdf4):
        click.echo(path)
    if replay.differences:
        click.echo(
            f"twintrack: the replay differs from what is stored in: {', '.join(replay.differences)} "
            "(another machine or build than that of the results?)",
            err=True,
        )
        sys.exit(1)


@main.command()
@cli_options.study
@errors_in_one_line
def check(study: Path) -> None:
    """Check STUDY without running it and say how many cases it has."""
    from ..experiments.plan import load

    plan = load(study)
    _remark(plan)
    click.echo(cli_text.described(plan))


def _remark(plan: object) -> None:
    for remark in plan.study.remarks():  # type: ignore[attr-defined]
        click.echo(f"twintrack: warning: pin-out: {remark}", err=True)


@main.command("list")
@click.argument("what", type=click.Choice([*cli_text.LISTS]))
@click.argument("names", nargs=-1)
@errors_in_one_line
def listed(what: str, names: tuple[str, ...]) -> None:
    """List what there is: parts, faults, rules, disturbances (of a range learn), signals, designs.

    `list parts NAME` prints one part as a part file to copy, edit and use, `list faults PEDAL BODY` every
    single fault that the wiring of a part or a pair can have, `list rules SET` the rules of one set.
    """
    click.echo(cli_text.LISTS[what](names))


main.add_command(identify)
main.add_command(tune)
main.add_command(design_test)
main.add_command(wire_plan)
main.add_command(explain)
main.add_command(compare)
main.add_command(requirements)
main.add_command(safety)
main.add_command(fmu)
main.add_command(lab)
