# SPDX-License-Identifier: BSD-3-Clause
"""FMUs of one learned pair, and one opened by FMPy with its variables by name."""

import shutil

import fmpy
import pytest
from fmpy.fmi2 import FMU2Slave
from fmpy.fmi3 import FMU3Slave

import twintrack as tt

STROKE = tt.Stroke(time=[0, 0.5, 0.7, 2.0], travel=[0, 0, 0.6, 0.6])
VERSIONS = pytest.mark.parametrize("version", [2, 3])


def learned_bench():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    return bench


def exported(bench, folder):
    """Paths by kind and version."""
    return {
        (kind, version): str(
            tt.export_fmu(bench, folder / f"{kind}{version}.fmu", kind=kind, version=version, stroke=STROKE)
        )
        for kind in ("bench", "plant", "controller")
        for version in (2, 3)
    }


class Slave:
    """An FMU stepped by hand, its variables by name."""

    def __init__(self, path, start=True, logger=None, **instantiate):
        self.description = fmpy.read_model_description(path)
        self.references = {v.name: v for v in self.description.modelVariables}
        self.folder = fmpy.extract(path)
        self.version = int(self.description.fmiVersion[0])
        make = FMU2Slave if self.version == 2 else FMU3Slave
        self.fmu = make(
            guid=self.description.guid,
            unzipDirectory=self.folder,
            modelIdentifier=self.description.coSimulation.modelIdentifier,
            instanceName="one",
        )
        self.fmu.instantiate(**instantiate)
        if start:
            self.enter()
            self.fmu.exitInitializationMode()

    def enter(self, start=0.0, stop=None):
        if self.version == 2:
            self.fmu.setupExperiment(startTime=start, stopTime=stop)
            self.fmu.enterInitializationMode()
        else:
            self.fmu.enterInitializationMode(startTime=start, stopTime=stop)

    def _call(self, way, name, *values):
        v = self.references[name]
        kind = {"Enumeration": "Integer" if self.version == 2 else "Int64"}.get(v.type, v.type)
        return getattr(self.fmu, way + kind)([v.valueReference], *values)

    def get(self, name):
        value = self._call("get", name)[0]
        return value.decode() if isinstance(value, bytes) else value

    def set(self, name, value):
        self._call("set", name, [value])

    def close(self):
        self.fmu.terminate()
        self.fmu.freeInstance()
        shutil.rmtree(self.folder)


def expected(bench, ticks, **options):
    """The record of a session."""
    session = bench.session(STROKE, **options)
    for _ in range(ticks + 1):
        session.step()
    return session.record
