# SPDX-License-Identifier: BSD-3-Clause
"""A million closed loops of ten seconds through the lanes: `python tests/speed/million.py [CASES] [THREADS]`.

The job is that of peers/loop_numbers.py: stroke, two pedal and two throttle tracks with noise, converter,
monitor, position loop, body. 1,000 frictions, each as often as it takes; every case has noise of its own.
Prints wall time, rate and peak memory; six columns of figures per case are kept. It takes minutes and is
no part of the gate. Ends with status 1 beyond one GiB.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent / "peers"))
import loop_numbers

from twintrack import _core

FRICTIONS = 1000
MOST = 1 << 30  # bytes


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("total", nargs="?", type=int, default=1_000_000)
    parser.add_argument("threads", nargs="?", type=int, default=2)
    asked = parser.parse_args()
    total, threads = asked.total, asked.threads
    cases, learned = loop_numbers.cases(min(FRICTIONS, total))
    replicas = -(-total // len(cases))
    began = time.perf_counter()
    figures = _core.lane_figures(cases, [learned] * len(cases), replicas=replicas, threads=threads)
    wall = time.perf_counter() - began
    count = len(figures["mean_error"])
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    failed = np.isnan(figures["codes"]).sum()
    print(f"{count:,} cases of {loop_numbers.SECONDS} s, {threads} threads, {_core.instruction_sets()[-1]}")
    print(f"wall time {wall:.1f} s, {count * loop_numbers.SECONDS / wall:,.0f} simulated seconds a second")
    print(f"peak memory {peak / 2**20:.0f} MiB")
    coded = np.sum(figures["codes"] > 0)
    print(f"mean error {figures['mean_error'].mean():.6f}, with codes {coded}, failed {failed}")
    return 0 if peak <= MOST and not failed else 1


if __name__ == "__main__":
    sys.exit(main())
