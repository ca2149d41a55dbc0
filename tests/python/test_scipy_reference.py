# SPDX-License-Identifier: BSD-3-Clause
"""The blade of a bench run against SciPy on independently written equations, mode and duty replayed.

With the duty replayed the two can differ by nothing but their integration: in a closed loop one flipped
converter code would move the blade by hundredths of a degree and stiction would keep it there.
"""

import math
import random

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from throttle_reference import Throttle

import twintrack as tt

LIMIT_DEG = 1e-3
PERIOD = 1e-3
IDEAL = {"kind": "ideal"}  # the reference knows the bridge and the supply, and no wires


class Scripted:
    """A controller that plays a random tune of modes and duties: both stops, brakes, an open bridge."""

    def __init__(self, seed: int) -> None:
        draw = random.Random(seed)
        self.ticks = []
        while len(self.ticks) < 1500:
            mode = draw.choice(["drive", "drive", "drive", "brake", "high_impedance"])
            duty = draw.choice([-1.0, 1.0, draw.uniform(-1.0, 1.0), draw.uniform(-0.4, 0.4)])
            self.ticks += [(mode, duty if mode == "drive" else 0.0)] * draw.randint(1, 80)

    def step(self, given):
        mode, duty = self.ticks[round(given.time / PERIOD)]
        return tt.Command(mode=mode, duty=duty)


def drive(session, ticks):
    """Steps a session; returns its record and the mode and duty of every tick."""
    played = []
    for _ in range(ticks):
        command = session.step().command
        played.append((command.mode, command.duty))
    assert session.outcome.ok, session.outcome.reason
    return session.record, played


def advance(throttle, x, mode, duty):
    """One tick by LSODA at 1e-10; restarted where the current of an open bridge has died."""
    flow = math.copysign(1.0, x[0]) if mode == "high_impedance" and x[0] else 0.0
    t = 0.0
    while t < PERIOD:

        def rates(_t, y, flow=flow):
            return throttle.rates(y, mode, duty, flow)

        def dead(_t, y, flow=flow):
            return y[0] * flow

        dead.terminal, dead.direction = True, -1
        events = dead if flow else None
        answer = solve_ivp(rates, (t, PERIOD), x, method="LSODA", rtol=1e-10, atol=1e-12, events=events)
        assert answer.success, answer.message
        x, t = answer.y[:, -1].copy(), answer.t[-1]
        if answer.status == 1:
            x[0] = flow = 0.0
    return x


def replay(throttle, start, played):
    """States at the beginning of every tick."""
    states = [np.array([0.0, start, 0.0, 0.0])]
    for mode, duty in played:
        states.append(advance(throttle, states[-1], mode, duty))
    return np.array(states)


def expect_agreement(bench, record, played):
    p = bench.parameters
    reference = replay(Throttle(p.body.mechanics, p.bridge, p.supply), record["blade.angle"][0], played)
    count = len(record.time)
    assert count == len(played)
    error_deg = np.degrees(np.abs(record["blade.angle"] - reference[:count, 1]))
    travelled = np.ptp(record["blade.opening"])
    assert travelled > 0.3, "the blade should have moved"
    assert error_deg.max() <= LIMIT_DEG, (
        f"{error_deg.max():.2e} deg at {record.time[error_deg.argmax()]:.3f} s"
    )


@pytest.mark.parametrize(
    ("body", "seed"), [("set-a", 3), ("set-b", 3), ("opposed-six", 3), ("opposed-six", 4)]
)
def test_scripted_drives(body, seed):
    """Thrown about between the stops, where every bounce magnifies any error: at a tighter tolerance.

    At the default one the same tunes stay within 5e-3 degrees.
    """
    unwatched = tt.CheckParameters(enabled=False)
    monitor = tt.MonitorParameters(range=unwatched, correlation=unwatched, deviation=unwatched)
    bench = tt.Bench(pedal="opposed", body=body, monitor=monitor, wiring=IDEAL, tolerance=1e-9)
    assert bench.learn().accepted
    session = bench.session(tt.Stroke.rest(duration=2.0), controller=Scripted(seed))
    record, played = drive(session, 1400)
    assert {mode for mode, _ in played} >= {"drive", "brake", "high_impedance"}
    expect_agreement(bench, record, played)


@pytest.mark.parametrize(
    ("body", "kind"),
    [("set-a", "bristle"), ("set-b", "bristle"), ("opposed-six", "bristle"), ("opposed-six", "simple")],
)
def test_closed_loop_that_ends_in_a_shut_down(body, kind):
    """Rest, more than a half press, then a pedal track that jumps: the monitor takes the motor's power away.

    At the default tolerance.
    """
    given = tt.body(body).to_dict()
    given["mechanics"]["friction"]["kind"] = kind
    bench = tt.Bench(pedal="half-slope-low", body=tt.ThrottleBodyParameters.from_dict(given), wiring=IDEAL)
    assert bench.learn().accepted
    stroke = tt.Stroke(time=[0.0, 0.5, 0.8, 1.5], travel=[0.0, 0.0, 0.6, 0.6])
    jump = tt.Fault(where="pedal.track1", what="offset", start=1.1, amount=0.3)
    record, played = drive(bench.session(stroke, faults=[jump]), 1500)
    assert played[1000][0] == "drive"
    assert played[-1][0] == "high_impedance", "the monitor should have switched the motor off"
    expect_agreement(bench, record, played)
