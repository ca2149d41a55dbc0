# SPDX-License-Identifier: BSD-3-Clause
"""Does the engine come back to idle from every single fault of an audit?

Run as a program it prints a table of all of them: with the engine idling the foot presses to 30 %, the fault
comes, the foot lets go, and 12 s later the engine must idle in its band, be held on its springs, or have been
shut off.
"""

from __future__ import annotations

import argparse
import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

import twintrack as tt
from twintrack.designs.audit import faults as audit_faults
from twintrack.rulebooks import rulebook
from twintrack.units import RPM

DRIVE = tt.Stroke(time=[0.0, 6.0, 6.3, 8.0, 8.2, 20.5], travel=[0.0, 0.0, 0.3, 0.3, 0.0, 0.0])
INSTANTS = {"at rest": 4.0, "part load": 7.0}
RELEASED = 8.2  # [s] the foot is off
JUDGED = 2.0  # [s] at the end
STANDS = 1.0  # [rad/s]
HYSTERESIS = 20.0  # [rad/s] above the limit that the fuel cut holds: what is under way when it cuts

#: What may become of an engine, mildest first; the last three are no return to idle.
ENDS = ("idles", "held on its springs", "shut off", "stalls", "idles low", "idles high")


@dataclass(frozen=True)
class Return:
    """What became of one fault."""

    fault: audit_faults.SingleFault
    instant: str
    end: str
    rpm: float
    blade: float  #: [share of travel] at the end
    late: bool  #: the blade stood above idle for longer than 1 s with the foot off (49 CFR 571.124)
    fuel_s: float  #: [s] for which the engine got fuel after fault and release
    reaction: str
    codes: str

    @property
    def good(self) -> bool:
        return self.end in ENDS[:3] and not self.late


def bench(engine: str = "small-four", **more) -> tt.BenchParameters:
    return tt.BenchParameters(
        pedal=tt.pedal("half-slope-high"), body=tt.body("half-slope-six"), engine=tt.engine(engine), **more
    )


def end_of(record: tt.Record, parameters: tt.BenchParameters) -> tuple[str, float]:
    """How the engine ends, and at how many rpm."""
    last = record.time > record.time[-1] - JUDGED
    speed, goal = record["engine.speed"][last], record["engine.idle_set_point"][last]
    reaction = tt.reactions()[int(record["reaction"][-1])]
    off = (speed - goal) / RPM
    mean = float(speed.mean()) / RPM
    if speed.max() < STANDS:
        return "shut off" if reaction == "engine off" else "stalls", mean
    if off.min() >= -100.0 and off.max() <= 200.0:
        return "idles", mean
    limit = parameters.monitor.ladder.motor_off.speed_limit + HYSTERESIS
    if reaction in ("motor off", "engine off") and speed.max() <= limit:
        return "held on its springs", mean
    return ("idles low" if off.mean() < 0.0 else "idles high"), mean


def returned(parameters: tt.BenchParameters, learned: tt.LearnResult, fault, instant: str) -> Return:
    faults = [fault.at(INSTANTS[instant])]
    case = tt.Case(parameters=parameters, stroke=DRIVE, faults=faults)
    result = tt.run_case(case, learned=learned, trace=True)
    rules = [rule for rule in rulebook.rules() if rule.name == "return to idle, light"]
    (verdict,) = rulebook.evaluate(result.record, rules, parameters=parameters, learned=learned.range)
    end, rpm = end_of(result.record, parameters)
    fuelled = float(result.record.time[result.record["engine.fuel"] > 0.0][-1])
    return Return(
        fault=fault,
        instant=instant,
        end=end,
        rpm=rpm,
        blade=float(result.record["blade.opening"][-1]),
        late=verdict.finding == "failed",
        fuel_s=fuelled - max(INSTANTS[instant], RELEASED if instant != "at rest" else 0.0),
        reaction=tt.reactions()[int(np.max(result.record["reaction"]))],
        codes=" ".join(code.text for code in result.codes),
    )


def every(parameters: tt.BenchParameters, instants=tuple(INSTANTS)) -> list[Return]:
    learned = tt.run_learn(tt.Case(parameters=parameters)).result
    work = [(f, i) for f in audit_faults.single_faults(parameters) for i in instants]
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        return list(pool.map(lambda w: returned(parameters, learned, *w), work))


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--engine", default="small-four")
    options.add_argument("--all", action="store_true", help="also those that come back")
    given = options.parse_args()
    found = every(bench(given.engine))
    for r in sorted(found, key=lambda r: (r.end, r.fault.label)):
        if given.all or not r.good:
            blade = f"{100 * r.blade:5.1f} % {'late' if r.late else '':5s}"
            said = f"{r.codes or 'no code'}; {r.reaction}"
            print(f"{r.end:20s} {r.rpm:5.0f} rpm {blade} {r.fault.label} ({r.instant}): {said}")
    good = sum(r.good for r in found)
    print(f"{good} of {len(found)} come back:", {end: sum(r.end == end for r in found) for end in ENDS})


if __name__ == "__main__":
    main()
