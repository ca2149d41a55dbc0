# SPDX-License-Identifier: BSD-3-Clause
"""The command ``twintrack``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from .. import __version__
from ..pages.text_table import text_table
from . import options as cli_options
from . import text as cli_text
from .campaign import campaign, show
from .design_test import design_test
from .identify import identify
from .idle import idle
from .options import mistakes_in_one_line

HELP = """Simulates electronic throttle control: foot, pedal, wiring, controller, throttle body.

\b
A study file says which pedals meet which throttle bodies:
    title  = "My pairing"
    pedals = ["all"]                 # names, "all", or "my_pedal.toml"
    bodies = ["all"]
    learn  = ["none", "stale", "fresh"]
    [bench]
    supply = "12.6 V"                # quantities are text with a unit

\b
Then:
    twintrack parts                  which parts there are
    twintrack faults                 what can go wrong on the way
    twintrack rules                  which written rules there are, with their source
    twintrack mishaps                what can go wrong during a range learn
    twintrack check study.toml       is the file right, how many cases
    twintrack run study.toml --out results
and open results/report.html. With [tolerances] (examples/campaign.toml):
    twintrack campaign study.toml --cases 1000 --out campaign
    twintrack show campaign 17       replays one case alone
With scenario = "idle" (examples/idle_at_1600.toml) an engine runs behind the throttle:
    twintrack idle study.toml --out maps

A case gives no answer, the right answer, a WRONG one or an UNSAFE one; the report says what each means.

Caution: simulation is no proof of safety. At the real thing: engine off, wheels chocked, hands out of
the bore while the blade is being driven.
"""


def _version(context: click.Context, _parameter: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        click.echo(f"twintrack {__version__}")
        context.exit()


@click.group(help=HELP, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110})
@click.option(
    "--version", is_flag=True, expose_value=False, is_eager=True, callback=_version, help="Print the version."
)
def main() -> None:
    pass


@main.command()
@cli_options.study
@cli_options.out
@cli_options.jobs
@click.option(
    "--traces",
    type=click.Choice(["interesting", "all", "none"]),
    help="Traces to keep [default: as the study says].",
)
@click.option("--mdf4", is_flag=True, help="Write the traces as MDF4 too (needs asammdf).")
@cli_options.quiet
@mistakes_in_one_line
def run(study: Path, out: Path, jobs: int | None, traces: str | None, mdf4: bool, quiet: bool) -> None:
    """Run every case of STUDY and write the results.

    results.parquet and results.csv (one row a case), traces/, report.html and pairing.png appear in the
    folder once they are complete; results of an earlier run there are replaced. Ctrl-C stops and keeps what
    is finished.
    """
    from ..files import toml_file
    from ..pairing import run as runner
    from ..studies.reader import load

    checked = load(study)
    _remark(checked)
    if "tolerances" in toml_file.read(study).table:
        click.echo("twintrack: [tolerances] are for 'twintrack campaign'; here nothing scatters", err=True)
    finished = runner.run(checked, out, jobs=jobs, traces=traces, mdf4=mdf4, progress=not quiet)
    if checked.every_fault_from is not None:
        _tell_faults(finished.table, out)
    else:
        _tell_answers(finished.table, out)
    _tell_idle(finished.table)
    if finished.interrupted:
        click.echo("twintrack: stopped by Ctrl-C; the cases marked 'not run' are missing", err=True)
        sys.exit(130)
    if (finished.table["status"] != "completed").any():
        click.echo("twintrack: some cases did not complete; see the column 'status' of results.csv", err=True)
        sys.exit(1)


@main.command()
@cli_options.study
@cli_options.out
@cli_options.jobs
@cli_options.quiet
@mistakes_in_one_line
def audit(study: Path, out: Path, jobs: int | None, quiet: bool) -> None:
    """Audit STUDY: every single fault, at several instants of a drive, under several monitors.

    The table [audit] of the study may say which set-ups and instants; examples/audit.toml teaches it.
    audit.html, audit.png and the tables audit_*.parquet and .csv appear in the folder. Ctrl-C stops and keeps
    what is finished.
    """
    from ..audit import report as audit_report
    from ..audit import run as audit_run
    from ..audit.study import load

    done = audit_run.run(load(study), out, jobs=jobs, progress=not quiet)
    head = ["set-up", "faults", "cases", "dangerous", "caught", "in vain", "never seen", "coverage", "95 %"]
    click.echo(
        text_table(head, [list(row.values())[: len(head)] for row in audit_report.coverage_rows(done)])
    )
    click.echo(f"\n{audit_report.headline(done)}\n\n{out / 'audit.html'}")
    if done.interrupted:
        click.echo("twintrack: stopped by Ctrl-C; the cases marked 'not run' are missing", err=True)
        sys.exit(130)


@main.command()
@cli_options.study
@cli_options.out
@cli_options.jobs
@cli_options.quiet
@mistakes_in_one_line
def learn(study: Path, out: Path, jobs: int | None, quiet: bool) -> None:
    """Try what can go wrong during the range learn of STUDY's pairs, and drive off with what was accepted.

    The mistakes are those in the study's 'learn' list, else every one of `twintrack mishaps` in its
    severities; each under strict, default and careless limits. learns.html, learns.png and the tables
    learns.* and learns_verdicts.* appear in the folder. Ctrl-C stops and keeps what is finished.
    """
    from ..learning import report as learning_report
    from ..learning import run as learning_run
    from ..learning import study as learning
    from ..studies.reader import load

    done = learning_run.run(load(study), out, jobs=jobs, progress=not quiet)
    click.echo(text_table(["limits", *learning.WORDS.values()], learning_report.tally(done.table)))
    click.echo(f"\n{learning_report.headline(done)}\n\n{out / 'learns.html'}")
    if done.interrupted:
        click.echo("twintrack: stopped by Ctrl-C; the learns that did not run are missing", err=True)
        sys.exit(130)


@main.command()
@mistakes_in_one_line
def mishaps() -> None:
    """List what can go wrong during a range learn (a study's 'learn' list): place, amount, meaning."""
    from .._core import mishap_catalogue

    rows = [
        [k.name, ", ".join(k.places), cli_text.span(k.least, k.most, k.unit), k.meaning]
        for k in mishap_catalogue()
    ]
    click.echo(text_table(["mishap", "where", "amount", "meaning"], rows))


def _remark(study: Any) -> None:
    for remark in study.remarks():
        click.echo(f"twintrack: warning: pin-out: {remark}", err=True)


def _tell_faults(table: Any, out: Path) -> None:
    from ..pairing import fault_report
    from ..pairing.fault_effects import EFFECTS

    rows = [[pair, *map(str, counts.values())] for pair, counts in fault_report.tally(table)]
    click.echo(text_table(["", *EFFECTS], rows))
    click.echo(f"\n{fault_report.headline(table)}\n\n{out / 'report.html'}")


def _tell_idle(table: Any) -> None:
    from ..idle import table as idle_table

    if not idle_table.has_idle(table):
        return
    rows = [
        [row["case"], row["finding"], *row["cells"]] for row in idle_table.content(table, 24)["idle_rows"]
    ]
    click.echo("\n" + text_table(["case", "finding", *idle_table.heads()], rows))
    click.echo(f"\n{idle_table.headline(table)}")


def _tell_answers(table: Any, out: Path) -> None:
    from ..pairing import summary

    click.echo(text_table(["", "right", "no answer", "WRONG", "UNSAFE", "not run"],
                      [[summary.GROUPS[name], *map(str, counts.values())]
                       for name, counts in summary.tally(table).items()]))  # fmt: skip
    click.echo(f"\n{summary.headline(table)}\n\n{out / 'report.html'}")


@main.command()
@cli_options.study
@mistakes_in_one_line
def check(study: Path) -> None:
    """Check STUDY, also as an audit or a campaign, without running it and say how many cases it has."""
    from ..audit import study as audit
    from ..campaigns import plan
    from ..files import toml_file
    from ..studies.reader import load

    checked = load(study)
    _remark(checked)
    pairings = checked.pairings()
    states = dict.fromkeys(p.learn for p in pairings)
    counts = ", ".join(f"{sum(p.learn == state for p in pairings)} {state}" for state in states)
    click.echo(f"{checked.title}: {len(checked.pedals)} pedals, {len(checked.bodies)} throttle bodies, "
               f"{len(pairings)} cases ({counts})")  # fmt: skip
    table = toml_file.read(study).table
    if "audit" in table:
        audited = audit.load(study)
        click.echo(f"as an audit: {len(audited.setups)} set-ups ({', '.join(audited.setups)}), "
                   f"{len(audited.cases())} cases")  # fmt: skip
    if not {"tolerances", "correlated", "sampling"}.isdisjoint(table):
        click.echo(f"as a campaign: {len(plan.load(study).tolerances)} parameters scatter")


@main.command()
@click.argument("name", required=False)
@mistakes_in_one_line
def parts(name: str | None) -> None:
    """List the built-in parts, or show everything about the part NAME (or the part file NAME)."""
    from ..parts.catalogue import bodies, pedals

    if name is None:
        found: dict[str, dict[str, Any]] = {"pedal": pedals(), "body": bodies()}
        rows = [
            [kind, part.name, part.arrangement, str(len(part.tracks)), str(part.supply), part.origin]
            for kind, named in found.items()
            for part in named.values()
        ]
        click.echo(text_table(["kind", "name", "arrangement", "tracks", "supply", "origin"], rows))
        return
    click.echo(cli_text.describe(*cli_text.find_part(name)))


@main.command()
@click.argument("names", nargs=-1, metavar="[PART | PEDAL BODY]")
@mistakes_in_one_line
def faults(names: tuple[str, ...]) -> None:
    """List the faults a study can have ([[faults]]): where, what, how much, and what it means.

    With a part or a pair (names, or part files), every single fault that its wiring can have, generated from
    its terminals.
    """
    from .._core import fault_catalogue, wiring_fault_kinds

    if names:
        click.echo(cli_text.wiring_faults(names))
        return
    rows = [
        [f.where, f.what, cli_text.span(f.least, f.most, f.unit), f.meaning]
        for f in [*fault_catalogue(), *wiring_fault_kinds()]
    ]
    click.echo(text_table(["where", "what", "amount", "meaning"], rows))


@main.command()
@click.argument("set", required=False)
@mistakes_in_one_line
def rules(set: str | None) -> None:
    """List the written rules a study can be judged against, with source and clause; or those of one SET."""
    from ..rulebooks.rulebook import LEARNED_RANGE, by_set
    from ..rulebooks.rulebook import rules as built_in

    named = built_in(set) + (built_in(LEARNED_RANGE) if set is None else [])
    for name, members in by_set(named).items():
        rows = [[f"  {rule.name}", rule.source, rule.clause, rule.sentence] for rule in members]
        click.echo(f"{name}\n\n{text_table(['  rule', 'source', 'clause', 'what it asks'], rows)}\n")
        for basis in dict.fromkeys(rule.basis for rule in members):
            click.echo(f"  numbers: {basis}")
        click.echo()


main.add_command(campaign)
main.add_command(show)
main.add_command(idle)
main.add_command(design_test)
main.add_command(identify)
