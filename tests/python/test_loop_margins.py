# SPDX-License-Identifier: BSD-3-Clause
"""The position loop in the frequency domain, with python-control beside it.

The plant is the small-signal motor with armature and input filter (no springs, no friction), held over a
period; the controller is the observer-based PID from ``loop_gains``.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

import twintrack as tt

control = pytest.importorskip("control")

PERIOD = 0.001
FILTER = 0.0003
BODIES = sorted(tt.bodies())


def plant(body):
    """Volts at the motor → angle behind the input filter [rad], zero-order hold."""
    motor = body.mechanics.motor
    constant = motor.gear_ratio * motor.constant
    inertia, viscous = body.mechanics.inertia, body.mechanics.friction.viscous
    a = [
        [-motor.resistance / motor.inductance, -constant / motor.inductance, 0.0],
        [constant / inertia, -viscous / inertia, 0.0],
        [0.0, 1.0, 0.0],
    ]
    mechanics = control.ss(a, [[1.0 / motor.inductance], [0.0], [0.0]], [[0.0, 0.0, 1.0]], 0.0)
    share = 1.0 - math.exp(-PERIOD / FILTER)  # of the voltage of the tick, held since the tick before
    pole = control.ss([[1.0 - share]], [[1.0 - share]], [[share]], [[share]], PERIOD)
    return pole * control.c2d(mechanics, PERIOD, "zoh")


def regulator(body, settings=None):
    """Angle → volts of the built-in controller about its set point."""
    g = tt.loop_gains(settings or tt.ControllerParameters(), body.mechanics, PERIOD, FILTER)
    model = np.array(
        [
            [1.0, g["angle_of_speed"], g["angle_of_volts"]],
            [0.0, g["decay"], g["speed_of_volts"]],
            [0.0, 0.0, 1.0],
        ]
    )
    drive = np.array([g["angle_of_volts"], g["speed_of_volts"], 0.0])
    gain = np.array([g["angle_gain"], g["speed_gain"], g["load_gain"]])
    look = np.array([1.0, 0.0, 0.0])
    seen = np.eye(3) - np.outer(gain, look)  # of the foretold state; the rest is gain · measured
    back = np.array([g["proportional"], g["derivative"], 0.0])
    volts = np.concatenate([-back @ seen, [1.0]])  # of (foretold state, integral)
    direct = -back @ gain
    step = PERIOD * g["integral"]
    a = np.zeros((4, 4))
    a[:3, :3] = model @ seen
    a[:3, :] += np.outer(drive, volts)
    a[3, :3], a[3, 3] = -step * (look @ seen), 1.0
    b = np.concatenate([model @ gain + drive * direct, [-step * gain[0]]])
    return control.ss(a, b[:, None], volts[None, :], [[direct]], PERIOD)


def phase_margin(body, settings=None):
    loop = -1.0 * plant(body) * regulator(body, settings)
    _, margin, _, _, _, _ = control.stability_margins(loop, method="frd")
    return margin


@pytest.mark.parametrize("name", BODIES)
def test_loop_is_stable(name):
    """python-control: all poles of the closed loop lie inside the unit circle."""
    closed = control.feedback(plant(tt.body(name)), regulator(tt.body(name)), sign=1)
    assert np.abs(closed.poles()).max() < 1.0


@pytest.mark.parametrize("name", BODIES)
def test_phase_margin(name):
    """python-control. The bound is regression only (22 … 32° measured); 50° would be good practice."""
    assert phase_margin(tt.body(name)) > 20.0


@pytest.mark.parametrize("name", BODIES)
def test_noise_gain_against_the_transfer_function(name):
    """Analytic: with the blade held, white noise σ of the angle gives volts of rms σ ‖K‖₂, the H₂ norm by
    python-control; the law itself, run on a million samples' worth of its recursion, must agree within 10 %.
    """
    body = tt.body(name)
    k = regulator(body)
    draw = np.random.default_rng(5)
    noise = draw.standard_normal(20000)
    # The integral has no finite norm against white noise: it is left out on both sides.
    a, b, c, d = (np.asarray(m) for m in (k.A, k.B, k.C, k.D))
    quick = control.ss(a[:3, :3], b[:3], c[:, :3], d, PERIOD)
    norm = math.sqrt(
        np.trace(np.asarray(c[:, :3] @ control.dlyap(a[:3, :3], b[:3] @ b[:3].T) @ c[:, :3].T))
        + d.item() ** 2
    )
    volts = _law(body, noise)
    assert volts.std() == pytest.approx(norm, rel=0.1)
    assert quick.poles().size == 3


def _law(body, angles):
    """The equations of speed_observer.hpp and pid.hpp, step by step, without integral."""
    g = tt.loop_gains(tt.ControllerParameters(), body.mechanics, PERIOD, FILTER)
    angle = speed = load = 0.0
    out = np.empty(len(angles))
    for n, measured in enumerate(angles):
        rest = measured - angle
        angle += g["angle_gain"] * rest
        speed += g["speed_gain"] * rest
        load += g["load_gain"] * rest
        volts = -g["proportional"] * angle - g["derivative"] * speed
        out[n] = volts
        drive = volts + load
        angle, speed = (
            angle + g["angle_of_speed"] * speed + g["angle_of_volts"] * drive,
            g["decay"] * speed + g["speed_of_volts"] * drive,
        )
    return out
