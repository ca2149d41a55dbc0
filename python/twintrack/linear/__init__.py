# SPDX-License-Identifier: BSD-3-Clause
"""Linear models of body, position loop and bench about an operating point.

>>> from twintrack import linear
>>> plant = linear.plant(tt.body("set-a"), angle=0.5, motion="opening")
>>> control.ss(*plant)                     # python-control, as it is
>>> linear.bench(tt.body("set-a"), opening=0.4).select(inputs="demand", outputs="opening")
"""

from .band import Band, response_band
from .build import bench, loop, plant
from .response import Margins, frequency_response, margins, step_response
from .system import LinearSystem, Signal, connect

__all__ = [
    "Band",
    "LinearSystem",
    "Margins",
    "Signal",
    "bench",
    "connect",
    "frequency_response",
    "loop",
    "margins",
    "plant",
    "response_band",
    "step_response",
]
