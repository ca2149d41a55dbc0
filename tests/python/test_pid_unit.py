# SPDX-License-Identifier: BSD-3-Clause
"""A unit made of python-control (a general-purpose control library) beside the built-in loop: the same gains
give the same duty. In discrete time with period h the PID of control/pid.hpp is

    u = (K_p + h K_i/(z − 1) + K_d (1 − a)/h · (z − 1)/(z − a)) e,   a = τ_f/(τ_f + h)
"""

import numpy as np
import pytest

import twintrack as tt

control = pytest.importorskip("control")

GAINS = {"proportional": 11.0, "integral": 90.0, "derivative": 0.35, "derivative_filter": 0.004}
#: Without feed-forward, observer, dead band and rest, the built-in loop is that PID alone.
BARE = {"observer_pole": 0.0, "feed_forward": False, "dead_band": 0.0, "rest_band": 0.0}
STROKE = tt.Stroke(time=[0, 0.6, 1.2, 1.6, 2.2, 3.0], travel=[0, 0, 0.35, 0.35, 0.1, 0.1])


def transfer_function(period):
    kp, ki, kd, filter_time = GAINS.values()
    a = filter_time / (filter_time + period)
    integral = control.ss(control.tf([period * ki], [1.0, -1.0], period))
    derivative = control.ss(control.tf(kd * (1 - a) / period * np.array([1.0, -1.0]), [1.0, -a], period))
    return integral + derivative + kp  # side by side: each part keeps a state of its own


class Pid:
    """The loop by python-control; set point and opening as the built-in controller has them from the same
    readings. ``duties``: its own and the built-in one, tick by tick."""

    def __init__(self, learned, bench, period):
        self.system = transfer_function(period)
        self.state = np.zeros(self.system.nstates)
        self.built_in = tt.make_controller(bench, learned)
        stops = bench.body.mechanics.stops
        self.travel = stops.open_angle - stops.closed_angle
        self.duties = []

    def step(self, seen):
        theirs = self.built_in.step(seen)
        if theirs.mode != "drive":
            return theirs
        error = (theirs.set_point - theirs.opening) * self.travel
        volts = self.system.output(0.0, self.state, [error]).item()
        self.state = self.system.dynamics(0.0, self.state, [error])
        duty = volts / seen.supply
        self.duties.append((duty, theirs.duty))
        return tt.Command(mode="drive", duty=duty, set_point=theirs.set_point, opening=theirs.opening)


@pytest.fixture(scope="module")
def bench():
    made = tt.Bench(pedal="half-slope-low", body="opposed-six")
    quiet = {f"{side}.tracks[{k}].noise": 0.0 for side in ("pedal", "body") for k in (1, 2)}
    changes = {f"controller.{name}": value for name, value in {**GAINS, **BARE}.items()}
    made.parameters = made.parameters.replace({**quiet, **changes})
    assert made.learn().accepted
    return made


def test_the_same_gains_give_the_same_duty(bench):
    unit = Pid(bench.learned, bench.parameters, bench.parameters.control_period)
    own = bench.run(STROKE, controller=unit)
    assert own.outcome.ok, own.outcome.reason
    ours, theirs = np.array(unit.duties).T
    assert len(ours) > 2500
    assert np.max(np.abs(theirs)) < 0.9  # never limited, so no anti-windup speaks
    assert np.max(np.abs(theirs)) > 0.2
    np.testing.assert_allclose(ours, theirs, rtol=0.0, atol=1e-12)
    # and with the loop closed by the built-in controller: the rounding of duties moves the blade that little
    plain = bench.run(STROKE)
    np.testing.assert_allclose(own.record["duty"], plain.record["duty"], rtol=0.0, atol=1e-9)
