# SPDX-License-Identifier: BSD-3-Clause
"""Ten defects planted in a strict monitor: does a search find each, and sooner than chance?

    python tests/python/planted_defects.py [SEEDS] [RUNS] [BUDGET]

Each defect is searched with SEEDS seeds, up to RUNS runs, until its rule is broken; and, with a BUDGET of
runs, by the search and by random points, whose least margins are compared. The bench without a defect is
searched too, with one seed and RUNS / 5 runs: nothing may be found there. Ends with status 1 when a defect is
found in less than 9 of 10 seeds, when chance is as good on more than 2 of 10, or when the healthy bench
breaks a rule.
"""

from __future__ import annotations

import statistics
import sys
from dataclasses import replace
from pathlib import Path

from twintrack import _core
from twintrack.experiments.adaptive import pursued
from twintrack.experiments.plan import load
from twintrack.files.toml_file import TomlFile

#: For the rules on tracks: offsets up to 12 % of the supply, so that the margin has no end that both reach.
OFFSETS = {
    "kinds": [f"{part}.track{k} offset" for part in ("pedal", "throttle") for k in (1, 2)],
    "amount": ["-12 %", "12 %"],
}

#: For the others: all that a kind allows.
KINDS = [
    *("pedal.track1 offset", "pedal.track2 offset", "pedal.track1 gain", "pedal.track2 gain"),
    *("throttle.track1 offset", "throttle.track2 offset", "throttle.track2 gain", "pedal.track2 frozen"),
    *("body.friction scale", "blade torque", "supply scale"),
]

#: Rules on tracks and power that each is broken by: published (student competition rules 2024), or our own.
P, T = "pedal tracks agree", "throttle tracks agree"
D = "position follows target"


def row(check: str, side: str, reaction: str):
    """The ladder with another reaction of one check."""

    def changed(monitor):
        rows = [
            _core.ReactionRow(**{**_values(r), "reaction": reaction})
            if (r.check, r.side) == (check, side)
            else r
            for r in monitor.reactions
        ]
        return {"reactions": rows}

    return changed


def _values(one) -> dict:
    return {
        name: getattr(one, name)
        for name in ("check", "side", "left", "reaction", "exit", "exit_time", "priority")
    }


_MOTION = ("stalled", "blocked", "overload", "against")

#: Without what watches whether the blade is where it should be; what else would see it is switched off too.
_UNFOLLOWED = {
    "deviation.enabled": False,
    **{f"motion.{name}.enabled": False for name in _MOTION},
    "function_monitor.enabled": False,
    "not_closing.enabled": False,
}

_SLOW = {"deviation.enabled": True, "deviation.confirm_time": 2.0}
_DEVIATION = {"deviation.enabled": True, "deviation_limit": 0.3}

#: What is wrong, what changes on the strict monitor, and the rule that it breaks.
DEFECTS = [
    ("threshold of the correlation, pedal", {"correlation_limit": 0.102}, P),
    ("threshold of the correlation, throttle", {"correlation_limit": 0.105}, T),
    ("debounce of the correlation, pedal", {"correlation.confirm_time": 0.12}, P),
    ("debounce of the deviation, motion removed", {**_UNFOLLOWED, **_SLOW}, D),
    ("the correlation removed, pedal", {"correlation.enabled": False}, P),
    ("the correlation removed, throttle", {"correlation.enabled": False}, T),
    ("threshold of the deviation, motion removed", {**_UNFOLLOWED, **_DEVIATION}, D),
    ("deviation and motion removed", _UNFOLLOWED, D),
    ("ladder: correlation of the pedal only limits", row("correlation", "pedal", "limited"), P),
    ("ladder: correlation of the throttle only limits", row("correlation", "throttle", "limited"), T),
]


def plan(changes, rule: str, seed: int, method: str, runs: int, stop: str):
    """A search on the bench whose monitor is changed."""
    free = OFFSETS if rule in (P, T) else {"kinds": KINDS}
    table = {
        "design": "search",
        "pedals": ["half-slope-low"],
        "bodies": ["opposed-six"],
        "learn": ["fresh"],
        "bench": {"wiring": {"kind": "ideal"}, "seed": seed},
        "search": {
            "rule": rule,
            "runs": runs,
            "method": method,
            "stop": stop,
            "population": 32,
            "foot": {"knots": 3, "from": "0.8 s", "to": "3 s", "end": "4 s"},
            "faults": [{**free, "from": ["0.9 s", "2.2 s"], "ramp": ["0 s", "500 ms"]}],
        },
        "tolerances": {"supply": {"uniform": ["11 V", "14.5 V"]}},
    }
    made = load(TomlFile(Path("planted"), table))
    strict = _core.monitor_strict()
    monitor = strict.replace(changes(strict) if callable(changes) else changes)
    study = replace(made.design.study, bench={**made.design.study.bench, "monitor": monitor})
    return replace(made, design=replace(made.design, study=study))


def margins(changes, rule, seed, method, runs, stop) -> list[float]:
    rows = pursued(plan(changes, rule, seed, method, runs, stop), runs)
    return [row["sought_margin"] for row in rows if not row["excluded"]]


def least(found: list[float]) -> float:
    return min(found, default=float("inf"))


def main(seeds: int = 10, runs: int = 5000, budget: int = 960) -> int:
    bad = []
    for rule in (P, T, D):
        margin = least(margins({}, rule, 1, "differential evolution", runs // 5, "budget"))
        print(f"healthy, {rule:24} least margin {100 * margin:+7.1f} % in {runs // 5} runs", flush=True)
        bad += [f"the healthy bench breaks {rule!r}"] if margin < 0 else []
    beaten = 0
    for name, changes, rule in DEFECTS:
        after = []
        for seed in range(1, seeds + 1):
            found = margins(changes, rule, seed, "differential evolution", runs, "first")
            after += [len(found)] if least(found) < 0 else []
        ours, chance = (
            statistics.median(
                least(margins(changes, rule, seed, method, budget, "budget"))
                for seed in range(1, min(seeds, 3) + 1)
            )
            for method in ("differential evolution", "random")
        )
        beaten += ours < chance
        median = statistics.median(after or [runs])
        print(f"{name:48} {rule:24} found in {len(after)} of {seeds}, median {median:6.0f} runs;", end=" ")
        print(f"least of {budget}: {100 * ours:+7.1f} %, by chance {100 * chance:+7.1f} %", flush=True)
        bad += [f"{name!r} found in {len(after)} of {seeds} seeds"] if len(after) < 0.9 * seeds else []
    print(f"chance beaten on {beaten} of {len(DEFECTS)}")
    bad += [f"chance beaten on {beaten} only"] if beaten < 8 else []
    print("\n".join(bad) or "all found")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
