# SPDX-License-Identifier: BSD-3-Clause
"""What any controller should do, as tests: ``from twintrack.testing.default_tests import *``.

The bench is that of the fixtures (plugin.py), the controller that of ``--twintrack-unit``. A bench that is
not *watched* has no monitor, so that what the controller does by itself is seen. Limits without a source are
this bench's own. Passing all of this is no proof of safety.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from .. import _core

__all__ = [
    "test_believes_where_the_blade_is",
    "test_every_single_fault",
    "test_follows_a_kick",
    "test_follows_the_foot",
    "test_loses_no_time_after_a_blocked_blade",
    "test_rides_out_a_glitch",
    "test_what_it_has_switched_off_stays_off",
]

#: Quick presses and long holds, the blade's whole travel.
STROKE = {
    "time": [0.0, 1.0, 1.2, 2.4, 2.6, 4.0, 4.3, 5.5],
    "travel": [0.0, 0.0, 0.6, 0.6, 1.0, 1.0, 0.0, 0.0],
}

#: Pedal down and up within 20 ms each.
KICK = {"time": [0.0, 1.0, 1.02, 2.5, 2.52, 4.0], "travel": [0.0, 0.0, 1.0, 1.0, 0.0, 0.0]}

#: When faults come [s]: the foot holds still.
AT = 1.8

#: [s] that a disagreement of two tracks lasts: much less than any debounce time, and much more.
GLITCH, LASTING = 0.03, 0.6

#: [s] of unasked opening that is tolerated (student-competition rules 2024, T.4.2.4; second hand), and by how
#: much it may exceed that of the built-in controller on the same bench.
TOLERATED, SLACK = 0.5, 0.15


def _offset(where: str, lasting: float) -> _core.Fault:
    return _core.Fault(where=where, what="offset", amount=0.2, start=AT, end=AT + lasting)


def test_follows_the_foot(twintrack_drive: Any) -> None:
    twintrack_drive(_core.Stroke(**STROKE)).completes().sets_no_code().follows()


def test_follows_a_kick(twintrack_drive: Any) -> None:
    """As far from the set point, and as fast, as a loop can get."""
    twintrack_drive(_core.Stroke(**KICK)).completes().sets_no_code().follows()


def test_believes_where_the_blade_is(twintrack_drive: Any) -> None:
    for stroke in (STROKE, KICK):
        twintrack_drive(_core.Stroke(**stroke)).completes().believes_what_is_so()


def test_loses_no_time_after_a_blocked_blade(twintrack_drive: Any) -> None:
    """For three seconds the blade is held short of what is asked; half a second after the foot has begun to
    move on, it is where it would have been."""
    stroke = _core.Stroke(time=[0.0, 1.0, 1.2, 4.2, 4.3, 5.5], travel=[0.0, 0.0, 1.0, 1.0, 0.4, 0.4])
    blocked = _core.Fault(where="body.open_stop", what="shift", amount=-0.15, start=0.5)
    healthy = twintrack_drive(stroke, watched=False)
    drive = twintrack_drive(stroke, [blocked], watched=False).completes()
    drive.stays_beside(healthy, 0.05, since=4.7)


@pytest.mark.parametrize("where", ["pedal.track2", "throttle.track2"])
def test_rides_out_a_glitch(twintrack_drive: Any, where: str) -> None:
    """Two tracks that disagree for 30 ms are no reason to stop."""
    stroke = _core.Stroke(**STROKE)
    healthy = twintrack_drive(stroke, watched=False)
    twintrack_drive(stroke, [_offset(where, GLITCH)], watched=False).completes().stays_beside(healthy, 0.05)


@pytest.mark.parametrize("where", ["pedal.track2", "throttle.track2"])
def test_what_it_has_switched_off_stays_off(twintrack_drive: Any, where: str) -> None:
    """A controller that gives the motor no duty while two tracks disagree gives none afterwards either: a
    contact that comes and goes must not move the blade. One that leaves that to the monitor passes."""
    drive = twintrack_drive(_core.Stroke(**STROKE), [_offset(where, LASTING)], watched=False).completes()
    time, duty = drive.time, drive.record["duty"]
    end = AT + LASTING
    if np.any(duty[(time > end - 0.05) & (time < end)]):
        return
    again = np.flatnonzero((time >= end) & (duty != 0.0))
    if len(again):
        drive._fail("drives the motor again after the disagreement is over", float(time[again[0]]))


def test_every_single_fault(twintrack_drive: Any, twintrack_reference: Any, twintrack_fault: Any) -> None:
    """No fault makes the blade open unasked by more than 10 % for longer than is tolerated; where the
    built-in controller cannot prevent that either (a blade that is forced open), not for much longer."""
    stroke = _core.Stroke(**STROKE)
    fault = twintrack_fault.at(AT)
    drive = twintrack_drive(stroke, [fault]).completes()
    found = drive.unasked_time(twintrack_drive(stroke))
    if found <= TOLERATED:
        return
    best = twintrack_reference(stroke, [fault]).unasked_time(twintrack_reference(stroke))
    allowed = max(TOLERATED, best + SLACK)
    if found > allowed:
        drive._fail(
            f"{twintrack_fault.label}: unasked opening for {found:.3f} s; allowed: {allowed:.3f} s", AT
        )
