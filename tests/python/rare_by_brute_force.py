# SPDX-License-Identifier: BSD-3-Clause
"""Subset simulation on a bench against brute force: `python tests/python/rare_by_brute_force.py [RUNS]`.

The study is examples/rare.toml with a wider drift, so that P is about 1e-4. Ends with status 1 when the
estimate of so many independent runs lies outside the 95 % interval of subset simulation.
"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

import numpy as np

from twintrack.experiments.adaptive import pursued
from twintrack.experiments.plan import load
from twintrack.files.toml_file import TomlFile
from twintrack.interval import wilson

STUDY = Path(__file__).parents[2] / "examples/rare.toml"


def rows(**rare):
    table = tomllib.loads(STUDY.read_text(encoding="utf-8"))
    table["tolerances"]["faults[1].amount"]["normal"] = [0.0, 0.0135]
    table["rare"] |= rare
    plan = load(TomlFile(STUDY, table))
    return plan, pursued(plan, rare["runs"])


def main(runs: int = 100_000) -> int:
    import pandas as pd

    plan, found = rows(samples=1000, runs=20_000)
    levels = plan.design.estimate(pd.DataFrame(found), len(plan.tolerances))
    print(f"levels: {levels.probability:.2e} ({levels.low:.1e} … {levels.high:.1e}) in {levels.runs} runs")
    _, brute = rows(method="brute force", samples=4000, runs=runs)
    broken = int(np.sum([row["sought_margin"] < 0 for row in brute]))
    low, high = wilson(broken, len(brute))
    share = broken / len(brute)
    print(f"brute force: {share:.2e} ({low:.1e} … {high:.1e}) in {len(brute)} runs, {broken} of them broken")
    inside = levels.low <= share <= levels.high
    print("inside the interval" if inside else "OUTSIDE the interval")
    return 0 if inside else 1


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
