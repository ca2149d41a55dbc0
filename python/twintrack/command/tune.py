# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack tune``: gains of the position loop from a body and wishes."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from ..cautions import CAUTION
from ..errors import InputError
from . import options as cli_options
from .identify import body_of, pair_of, quantity_of
from .options import errors_in_one_line


@click.command(epilog=CAUTION)
@click.argument("body")
@cli_options.out
@click.option("--settling", metavar="TIME", help="Until the blade stays within 1° of the demand [140 ms].")
@click.option("--overshoot", metavar="ANGLE", help="Of a step of 72° [2 deg].")
@click.option("--duty-noise", type=float, help="Rms of the duty while the blade is held [0.02].")
@click.option("--phase-margin", metavar="ANGLE", help="Of the linear loop of a sliding blade [50 deg].")
@click.option("--gain-margin", type=float, help="Of the same, as a factor [2].")
@click.option("--supply", default="13.5 V", show_default=True, help="Of the nominal case.")
@click.option("--supply-range", nargs=2, metavar="LEAST MOST", help="Range in which the wishes must be met.")
@click.option("--temperature-range", nargs=2, metavar="LEAST MOST", help="The same of the winding.")
@click.option("--tolerance", "tolerances", multiple=True, metavar="FIELD=SHARE",
              help="What scatters by ± a share, such as 'mechanics.inertia=0.1'; repeat it "
              "[motor, inertia, friction].")  # fmt: skip
@click.option("--pedal", default="knee", show_default=True, help="The built-in pedal that steps.")
@click.option("--draws", type=click.IntRange(0, 100_000), default=200, show_default=True)
@click.option("--generations", type=click.IntRange(0, 1000), default=8, show_default=True,
              help="Of the search, sixty settings each.")  # fmt: skip
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Of the draws.")
@errors_in_one_line
def tune(
    body: str,
    out: Path,
    supply: str,
    supply_range: tuple[str, str] | None,
    temperature_range: tuple[str, str] | None,
    tolerances: tuple[str, ...],
    pedal: str,
    draws: int,
    generations: int,
    seed: int,
    **wishes: Any,
) -> None:
    """Find gains of the position loop for BODY, a built-in one or a part file, that meet the wishes.

    The gains are those whose worst draws are best; which wish they break, and where, is said. The table
    [bench.controller] of a study file (controller.toml), wishes.csv, candidates.csv and tune.html appear in
    the folder. Exit status 1 when a wish is not met.

    Caution: on a real body begin with smaller gains; the blade moves by itself.
    """
    from .. import tuning
    from ..tuning.page import headline, write

    nominal = body_of(body)
    found = tuning.tune(
        nominal,
        draws=draws,
        tolerances=dict(_tolerance(t) for t in tolerances) if tolerances else None,
        supply=quantity_of("--supply", supply, "V"),
        supply_range=_range("--supply-range", supply_range, "V"),
        temperature_range=_range("--temperature-range", temperature_range, "degC"),
        pedal=pedal,
        seed=seed,
        generations=generations,
        **{name: _wish(name, value) for name, value in wishes.items() if value is not None},
    )
    paths = write(found, nominal.name, out)
    click.echo(f"{found}\n\n{headline(found)}\n\n{found.toml}\n{CAUTION}\n\n" + "\n".join(map(str, paths)))
    if not found.met:
        sys.exit(1)


def _wish(name: str, value: str | float) -> float:
    import math

    if not isinstance(value, str):
        return value
    option = "--" + name.replace("_", "-")
    if name == "settling":
        return quantity_of(option, value, "s")
    return math.degrees(quantity_of(option, value, "rad"))


def _range(option: str, given: tuple[str, str] | None, unit: str) -> tuple[float, float] | None:
    if given is None:
        return None
    return quantity_of(option, given[0], unit), quantity_of(option, given[1], unit)


def _tolerance(text: str) -> tuple[str, float]:
    name, value = pair_of(text, "--tolerance")
    try:
        return name, float(value)
    except ValueError:
        raise InputError(
            f"--tolerance {text!r}: must be FIELD=SHARE, such as mechanics.inertia=0.1"
        ) from None
