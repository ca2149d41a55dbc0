# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack design-test``: voltages for a test stand."""

from __future__ import annotations

from pathlib import Path

import click

from ..cautions import CAUTION, EXPERIMENT_CAUTIONS
from ..errors import InputError
from . import options as cli_options
from .identify import body_of, quantity_of
from .options import errors_in_one_line


@click.command("design-test", epilog=CAUTION)
@click.argument("body")
@cli_options.out
@click.option("--seconds", type=float, default=30.0, show_default=True, help="How long the test lasts.")
@click.option("--current", default="6 A", show_default=True, help="Largest current, either way.")
@click.option("--voltage", default="9 V", show_default=True, help="Largest voltage, either way.")
@click.option("--largest-opening", type=click.FloatRange(0.05, 1.0), default=1.0, show_default=True,
              help="Share of travel that the blade may open to.")  # fmt: skip
@errors_in_one_line
def design_test(
    body: str, out: Path, seconds: float, current: str, voltage: str, largest_opening: float
) -> None:
    """Plan the test that identifies a body like BODY (a built-in one or a part file) most precisely.

    test.csv (time, voltage) appears in the folder; how sure each unknown would be is printed.

    Caution: on a real body the blade moves by itself, hard and without warning, under every one of these
    voltages. Hands out of the bore, the body off the engine, the current limited at the source, a switch in
    reach.
    """
    import numpy as np
    import pandas as pd

    from ..files import output
    from ..identify.design import Limits, design
    from ..pages.text_table import text_table

    limits = Limits(
        quantity_of("--current", current, "A"), quantity_of("--voltage", voltage, "V"), (0.0, largest_opening)
    )
    if not (limits.current > 0.0 and limits.voltage > 0.0):
        raise InputError("--current, --voltage: must be above 0")
    plan = design(body_of(body), seconds=seconds, limits=limits)
    table = {"time [s]": plan.period * np.arange(len(plan.voltage)), "voltage [V]": plan.voltage}
    text = pd.DataFrame(table).to_csv(index=False, float_format="%.6g")
    output.write(output.make_folder(out) / "test.csv", text.encode())
    rows = [[name, f"{100 * share:.2g} %"] for name, share in plan.deviations.items()]
    click.echo(text_table(["unknown", "to be expected (1 σ)"], rows))
    click.echo(f"\n{plan.voltage.size * plan.period:g} s, at most {plan.largest_current:.2g} A, opening "
               f"{100 * plan.openings[0]:.0f} to {100 * plan.openings[1]:.0f} % of travel\n")  # fmt: skip
    for caution in (CAUTION, *EXPERIMENT_CAUTIONS):
        click.echo(caution)
    click.echo(f"\n{out / 'test.csv'}")
