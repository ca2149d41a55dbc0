# SPDX-License-Identifier: BSD-3-Clause
"""Gains of the position controller from a body and wishes.

>>> found = tt.tune("set-a", settling=0.14, phase_margin=50.0, draws=1000)
>>> print(found)                 # each wish: nominal, worst of the draws, met or NOT MET
>>> tt.Bench("knee", "set-a", controller=found.controller)
"""

from .tune import tune
from .tuned import Tuned
from .wishes import Wishes

__all__ = ["Tuned", "Wishes", "tune"]
