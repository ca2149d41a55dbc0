# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack identify``: a throttle body from a log of a test stand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ..cautions import CAUTION
from ..errors import InputError
from . import options as cli_options
from .options import errors_in_one_line


@click.command(epilog=CAUTION)
@click.argument("log", type=click.Path(path_type=Path))
@cli_options.out
@click.option("--start", required=True, help="Body to start from: a built-in one's name, or a part file.")
@click.option("--column", "columns", multiple=True, metavar="SIGNAL=COLUMN [UNIT]",
              help="Which column holds a signal, such as 'current=I_mot [mA]'; repeat it.")  # fmt: skip
@click.option("--known", multiple=True, metavar="NAME=VALUE",
              help="A value measured otherwise, such as 'motor.resistance=1.8 ohm'; repeat it.")  # fmt: skip
@click.option("--also", multiple=True, metavar="NAME", help="A further unknown: friction.bristle_stiffness.")
@click.option("--resistance", default="0 ohm", show_default=True,
              help="Between the voltage as logged and the motor.")  # fmt: skip
@click.option("--starts", type=click.IntRange(1, 50), default=1, show_default=True,
              help="Places to begin; more by itself where what is left is no noise.")  # fmt: skip
@errors_in_one_line
def identify(log: Path, out: Path, start: str, columns: tuple[str, ...], known: tuple[str, ...],
             also: tuple[str, ...], resistance: str, starts: int) -> None:  # fmt: skip
    """Identify a throttle body from LOG, a file (CSV, Parquet, MDF4) of voltage, angle and current over time.

    The log begins with a rest. Without --column, columns called time, voltage (or duty and supply), angle (or
    opening, or track1) and current are taken, with their units in brackets. body.toml, a part file that
    studies take, identify.html and estimates.csv appear in the folder.

    Caution: in every experiment on a real body the blade moves by itself; hands out of the bore, current
    limited.
    """
    from ..identify import UNKNOWNS, prepare, read
    from ..identify import identify as run
    from ..identify.report import headline, write
    from ..pages.text_table import text_table

    body = body_of(start)
    raw = read(log, dict(pair_of(c, "--column") for c in columns) if columns else None)
    ready = prepare(raw, body, resistance=quantity_of("--resistance", resistance, "ohm"))
    values = dict(_known(k) for k in known)
    found = run(ready, body, unknowns=(*UNKNOWNS, *also), known=values, starts=starts)
    made = write(found, out)
    head = ["unknown", "estimate", "95 %", "deviation", "start", ""]
    click.echo(text_table(head, found.table()))
    for remark in found.remarks:
        click.echo(f"twintrack: {remark}", err=True)
    click.echo(f"\n{headline(found)}\n\n{CAUTION}\n\n" + "\n".join(str(out / name) for name in made))


def body_of(name: str) -> Any:
    """A built-in body, or the one of a part file."""
    from ..parts.catalogue import body, load

    if not name.endswith(".toml"):
        return body(name)
    kind, part = load(name)
    if kind != "body":
        raise InputError(f"{name}: is a {kind}, no throttle body")
    return part


def pair_of(text: str, option: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not value.strip():
        raise InputError(f"{option} {text!r}: must be NAME=VALUE")
    return name.strip(), value.strip()


def _known(text: str) -> tuple[str, float]:
    from ..identify.problem import UNITS, check_names

    name, value = pair_of(text, "--known")
    check_names([name])
    return name, quantity_of(f"--known {name}", value, UNITS[name])


def quantity_of(option: str, text: str, unit: str) -> float:
    """The value of an option in ``unit``; the message names the option."""
    from ..units import quantity

    try:
        return float(quantity(text, unit))
    except InputError as error:
        raise InputError(f"{option}: {error}") from error
