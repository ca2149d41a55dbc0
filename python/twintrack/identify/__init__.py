# SPDX-License-Identifier: BSD-3-Clause
"""From a log of a test stand to a throttle body.

>>> from twintrack import identify
>>> raw = identify.read("bench.csv", {"time": "t [ms]", "voltage": "U_m [V]", "angle": "phi [deg]"})
>>> log = identify.prepare(raw, tt.body("half-slope-six"))
>>> found = identify.identify(log, tt.body("half-slope-six"))
>>> found.write_body("mine.toml")

Caution: in every experiment on a real body the blade moves by itself.
"""

from .clock import ClockOffset, clock_offset
from .curves import TrackCurve, track_curve
from .design import Limits, TestPlan, design
from .experiment import Instruments, Measured, measure, strokes
from .fitting import UNKNOWNS, fit
from .log import Log, prepare
from .reading import SIGNALS, RawLog, read
from .result import Estimate, Identification, identify

__all__ = [
    "SIGNALS",
    "UNKNOWNS",
    "ClockOffset",
    "Estimate",
    "Identification",
    "Instruments",
    "Limits",
    "Log",
    "Measured",
    "RawLog",
    "TestPlan",
    "TrackCurve",
    "clock_offset",
    "design",
    "fit",
    "identify",
    "measure",
    "prepare",
    "read",
    "strokes",
    "track_curve",
]
