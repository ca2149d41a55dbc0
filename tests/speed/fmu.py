# SPDX-License-Identifier: BSD-3-Clause
"""An FMU stepped by another program: `python tests/speed/fmu.py`, twintrack and FMPy installed.

Control ticks a second of the processor's time, best of several, all in one run: a session stepped from
Python; the same bench as an FMU of both versions, stepped by FMPy one period at a time, with one output read
at each; and simulated by FMPy as a whole, unpacking included. Ends with status 1 when FMPy's steps are slower
than 0.105 of a session's (30,000 to 286,000 ticks/s).
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import fmpy
from fmpy.fmi2 import FMU2Slave
from fmpy.fmi3 import FMU3Slave

import twintrack as tt

TICKS = 3000
LEAST = 0.105


def shortest(work, repeats=5):
    """Least processor time [s]; the importer's own threads would count too, but there are none."""
    best = 1e9
    for _ in range(repeats):
        began = time.process_time()
        work()
        best = min(best, time.process_time() - began)
    return best


def session(bench):
    stepped = bench.session()
    for _ in range(TICKS):
        stepped.step()


def opened(path, folder):
    """An instance at the end of its initialization."""
    description = fmpy.read_model_description(path)
    make = FMU2Slave if description.fmiVersion == "2.0" else FMU3Slave
    fmu = make(
        guid=description.guid,
        unzipDirectory=fmpy.extract(path, folder),
        modelIdentifier=description.coSimulation.modelIdentifier,
        instanceName="one",
    )
    fmu.instantiate()
    if make is FMU2Slave:
        fmu.setupExperiment()
    fmu.enterInitializationMode()
    fmu.exitInitializationMode()
    (angle,) = (v.valueReference for v in description.modelVariables if v.name == "blade.angle")
    return fmu, [angle], fmu.getReal if make is FMU2Slave else fmu.getFloat64


def stepped(path):
    with tempfile.TemporaryDirectory() as folder:
        fmu, angle, get = opened(path, folder)
        start = fmu.getFMUState()

        def whole():
            fmu.setFMUState(start)
            for i in range(TICKS):
                fmu.doStep(i / 1000, 0.001)
                get(angle)

        best = shortest(whole)
        fmu.freeFMUState(start)
        fmu.freeInstance()
    return best


def simulated(path):
    return shortest(
        lambda: fmpy.simulate_fmu(path, stop_time=TICKS / 1000, output_interval=1e-3, output=["blade.angle"])
    )


def main() -> int:
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    peer = shortest(lambda: session(bench))
    rows, slow = [("session from Python", peer)], False
    with tempfile.TemporaryDirectory() as folder:
        for version in (2, 3):
            path = str(tt.export_fmu(bench, Path(folder) / f"{version}.fmu", version=version))
            seconds = stepped(path)
            slow = slow or peer / seconds < LEAST
            rows += [(f"FMI {version}, steps", seconds), (f"FMI {version}, simulated", simulated(path))]
    for name, seconds in rows:
        print(f"{name:24}{TICKS / seconds:10,.0f} ticks/s{peer / seconds:8.2f} x session")
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
