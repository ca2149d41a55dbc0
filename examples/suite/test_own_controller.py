# SPDX-License-Identifier: BSD-3-Clause
"""A controller of one's own in a test suite.

cc -std=c99 -shared -fPIC -I include -o own_controller.so examples/own_controller.c
pytest examples/suite --twintrack-unit ./own_controller.so

The first line below brings the tests that any controller should pass, every single fault of the pair among
them; what follows is one's own.

Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
"""

import twintrack as tt
from twintrack.testing.default_tests import *  # noqa: F403

PRESS = tt.Stroke(time=[0.0, 1.0, 1.2, 3.0], travel=[0.0, 0.0, 0.6, 0.6])


def test_a_broken_signal_wire(twintrack_drive):
    """Until the monitor sees it, the blade runs open; then the springs take it back."""
    broken = tt.Fault(where="throttle signal 1", what="open", start=2.0)
    drive = twintrack_drive(PRESS, [broken]).completes()
    drive.reacts("motor off", within=0.25).blade_stays(most=0.12, since=2.8)


def test_a_pedal_that_was_never_learned(twintrack_study):
    """Whatever the controller does without a range, nothing opens uncommanded."""
    result = twintrack_study(pedals=["half-slope-low"], bodies=["opposed-six"], learn=["fresh", "none"])
    assert "uncommanded" not in set(result.to_pandas()["response"])
