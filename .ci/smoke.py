#!/usr/bin/env python3
# SPDX-License-Identifier: BSD-3-Clause
"""What a wheel must do in an environment that holds nothing else: import, learn, one run."""

import twintrack as tt

bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
if not bench.learn().accepted:
    raise SystemExit("the learn of a pair that is wired right was refused")
run = bench.run()
opening = run.record["blade.opening"]
if not (opening.max() > 0.9 and not run.codes):
    raise SystemExit(f"at full pedal the blade opened to {opening.max():.2f}, codes {run.codes}")
print(f"twintrack {tt.__version__}: learned, ran {run.record.time[-1]:g} s, opened to {opening.max():.2f}")
