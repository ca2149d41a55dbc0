# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack plan``: what to wire, and what to measure before key-on."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from ..errors import InputError, closest, listing
from . import options as cli_options
from .options import errors_in_one_line


@click.command()
@cli_options.study
@cli_options.out
@click.option("--pedal", help="Which pedal of the study [default: its first].")
@click.option("--body", help="Which throttle body of the study [default: its first].")
@errors_in_one_line
def plan(study: Path, out: Path, pedal: str | None, body: str | None) -> None:
    """Plan the wires of a pair of STUDY: table, drawing, labels, and measurements in a safe order.

    plan.html, plan.svg (one A4 page), wires.csv, volts.csv, checklist.csv and labels.csv appear in the
    folder. A pin-out that leaves something out, joins what must be apart or exceeds a limit is refused (exit
    status 1); the files say why.

    Caution: engine off, wheels chocked; the motor's leads stay off at the controller until everything else is
    measured. Makers' data, local law and licensed practice come first.
    """
    from ..experiments.plan import load
    from ..plans.plan import WirePlan
    from ..wirings.wiring import Wiring

    asked = load(study).study
    bench = asked.parameters(one_of("--pedal", pedal, asked.pedals), one_of("--body", body, asked.bodies), 0)
    made = WirePlan(bench, Wiring(bench).joints)
    paths = made.write(out)
    click.echo(f"{made}\n\n" + "\n".join(map(str, paths)))
    if made.refusals:
        sys.exit(1)


def one_of(option: str, name: str | None, known: Mapping[str, Any]) -> str:
    """The named one of a study's parts, or its first."""
    if name is None:
        return next(iter(known))
    if name not in known:
        raise InputError(f"{option} {name!r}: the study has {listing(known)}{closest(name, known)}")
    return name
