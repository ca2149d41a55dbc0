# SPDX-License-Identifier: BSD-3-Clause
"""Sensitivity to parameters: indices from the cases there are, by the library SALib.

Two indices of each parameter, both from given data, no special sample needed:

* PAWN, 0 … 1: how far the distribution of the outcome moves when the parameter is known, as the median over
  ten slices of the Kolmogorov–Smirnov distance; inputs may depend on each other (F. Pianosi and T. Wagener,
  Distribution-based sensitivity analysis from a generic input-output sample, Environmental Modelling &
  Software 108, 2018; from memory).
* S₁: the share of the outcome's variance that the parameter explains alone, for independent inputs (RBD-FAST:
  S. Tarantola, D. Gatelli and T. Mara, 2006; J.-Y. Tissot and C. Prieur, 2012; from memory).

A parameter that has nothing to do with the outcome does not get zero from so many cases; the row "chance"
says how much one can get: the most of ten columns of shuffled numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import pandas as pd

#: Fewer cases than this say nothing; of more than the second some are picked, for time.
LEAST, MOST = 100, 4096

#: The row of what inputs get that have nothing to do with anything.
CHANCE = "chance"

_DUMMIES = 10

_CATEGORIES = ("pedal", "body", "learn", "learned_pedal", "learned_body", "learn_disturbance", "fault")


def factors(table: pd.DataFrame, parameters: Sequence[str]) -> list[str]:
    """What differs from case to case: the parameters that scatter, and what was plugged in when it varies."""
    plugged = [name for name in _CATEGORIES if name in table and table[name].nunique() > 1]
    return [*(name for name in parameters if table[name].nunique() > 1), *plugged]


def indices(
    table: pd.DataFrame, inputs: Sequence[str], output: str, seed: int = 1, resamples: int = 100
) -> pd.DataFrame | None:
    """Columns PAWN, S1 and S1_conf (half width of its 95 % interval, from so many ``resamples``, which take
    nearly all of the time), one row an input and ``CHANCE``; weightiest first.

    ``None`` when fewer than 100 cases have a finite ``output``, or when it is the same in all of them.
    """
    import pandas as pd
    from SALib.analyze import pawn, rbd_fast
    from scipy.stats import rankdata

    known = table[np.isfinite(table[output].astype(float))]
    if len(known) < LEAST or not inputs or known[output].nunique() < 2:
        return None
    rng = np.random.default_rng(seed)
    if len(known) > MOST:  # by chance: every so-many-th point of a Sobol sequence would be a poor sample
        known = known.iloc[np.sort(rng.choice(len(known), MOST, replace=False))]
    dummies = [f"{CHANCE} {k}" for k in range(_DUMMIES)]
    columns = [_numbers(known[name]) for name in inputs] + [rng.permutation(len(known)) for _ in dummies]
    ranks = np.column_stack([rankdata(column, "ordinal") for column in columns]).astype(float)
    names = [*inputs, *dummies]
    problem = {"num_vars": len(names), "names": names, "bounds": [[1, len(known)]] * len(names)}
    outcome = known[output].to_numpy(dtype=float)
    shares = rbd_fast.analyze(problem, ranks, outcome, num_resamples=resamples, seed=seed)
    moved = pawn.analyze(problem, ranks, outcome)["median"]
    found = {"PAWN": moved, "S1": shares["S1"], "S1_conf": shares["S1_conf"]}
    result = pd.DataFrame(found, index=pd.Index(names, name="parameter"), dtype=float)
    chance = result.loc[dummies]
    result = result.drop(index=dummies)
    result.loc[CHANCE] = [chance["PAWN"].max(), chance["S1"].abs().max(), chance["S1_conf"].max()]
    return result.sort_values("PAWN", ascending=False, kind="stable")


def _numbers(column: pd.Series) -> np.ndarray:
    """The column itself, or the number of each name in alphabetical order."""
    if column.dtype.kind in "fiub":
        return column.to_numpy(dtype=float)
    return np.unique(column.astype(str).to_numpy(), return_inverse=True)[1].astype(float)
