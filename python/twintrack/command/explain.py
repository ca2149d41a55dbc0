# SPDX-License-Identifier: BSD-3-Clause
"""``twintrack explain``: from a symptom to its cause."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from .options import errors_in_one_line

CAUTION = (
    "Caution: engine off, wheels chocked; motor leads off at the controller before a hand comes near "
    "the blade. A "
    "simulation is no proof; makers' data, local law and licensed practice come first."
)


@click.command()
@click.argument("observed", type=click.Path(path_type=Path))
@click.option("--ask", is_flag=True, help="Go on by question and answer until one group is left.")
@click.option(
    "--pairs", is_flag=True, help="Where no single cause explains it, try the likeliest two at a time."
)
@click.option(
    "--cache", type=click.Path(path_type=Path), help="Folder that keeps dictionaries [default: the user's]."
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder for explain.html and causes.csv.")
@errors_in_one_line
def explain(observed: Path, ask: bool, pairs: bool, cache: Path | None, out: Path | None) -> None:
    """Rank the causes of what was OBSERVED, and say what to measure next.

    OBSERVED is a study file (pedals, bodies, [bench]; the first pair counts) with a table [observed]: codes
    in their order, volts with their ground, ohms, what the blade did, what a learn said.
    examples/crossed.toml teaches it; the table [priors] weighs causes, kinds or families. The first call for
    a pair makes its dictionary, in some ten seconds; it is kept.

    Caution: engine off, wheels chocked; motor leads off at the controller before a hand comes near the
    blade. Makers' data, local law and licensed practice come first.
    """
    from ..diagnosis.explain import Diagnosis, paired
    from ..diagnosis.interview import Interview, converse

    bench, given, priors = read(observed)
    model = Diagnosis.of(bench, cache=cache, progress=True, priors=priors)
    interview = Interview(model, given)
    answer = interview.response
    if ask:
        answer = converse(
            interview, lambda text: click.prompt(text, default="", show_default=False), click.echo
        )
    elif pairs and (double := paired(bench, answer, cache=cache, progress=True, priors=priors)) is not None:
        model, answer = double, double.explain(answer.observed)
        click.echo(str(answer))
    else:
        click.echo(str(interview))
    if out is not None:
        from ..diagnosis.page import write

        for path in write(model, answer, out):
            click.echo(path)
    click.echo(f"\n{CAUTION}")


def read(path: Path) -> tuple[Any, dict[str, Any], dict[str, float]]:
    """Bench, [observed] and [priors] of a file. Raises :class:`InputError` with file and line."""
    from ..files import toml_file
    from ..studies import reader

    file = toml_file.read(path)
    given, priors = file.table.get("observed"), file.table.get("priors", {})
    if not isinstance(given, dict):
        file.fail(
            ("observed",), "must be a table ([observed]): codes, volts, ohms, key_on, follows, learn, idle"
        )
    if not isinstance(priors, dict) or not all(type(v) in (int, float) for v in priors.values()):
        file.fail(("priors",), 'must be a table of weights, such as "wiring" = 3')
    study = reader.study_of(file)
    bench = study.parameters(next(iter(study.pedals)), next(iter(study.bodies)), 0)
    return bench, given, priors
