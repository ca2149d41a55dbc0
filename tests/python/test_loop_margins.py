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


def mechanics(body, spring_rate=0.0, bridge=0.0):
    """Volts at the motor → angle [rad], zero-order hold; ``spring_rate`` [N·m/rad], ``bridge`` [Ω]."""
    motor = body.mechanics.motor
    constant = motor.gear_ratio * motor.constant
    inertia, viscous = body.mechanics.inertia, body.mechanics.friction.viscous
    a = [
        [-(motor.resistance + bridge) / motor.inductance, -constant / motor.inductance, 0.0],
        [constant / inertia, -viscous / inertia, -spring_rate / inertia],
        [0.0, 1.0, 0.0],
    ]
    whole = control.ss(a, [[1.0 / motor.inductance], [0.0], [0.0]], [[0.0, 0.0, 1.0]], 0.0)
    return control.c2d(whole, PERIOD, "zoh")


def input_filter():
    """Of the voltage of the tick, held since the tick before."""
    share = 1.0 - math.exp(-PERIOD / FILTER)
    return control.ss([[1.0 - share]], [[1.0 - share]], [[share]], [[share]], PERIOD)


def plant(body):
    """Volts at the motor → angle behind the input filter [rad]."""
    return input_filter() * mechanics(body)


def h2_norm(system):
    """Rms of the output for white noise of rms 1 at the input."""
    a, b, c, d = (np.asarray(m) for m in (system.A, system.B, system.C, system.D))
    return math.sqrt(np.trace(c @ control.dlyap(a, b @ b.T) @ c.T) + d.item() ** 2)


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
    python-control; the law itself, run over 20,000 samples, must agree within 10 %.
    """
    body = tt.body(name)
    k = regulator(body)
    draw = np.random.default_rng(5)
    noise = draw.standard_normal(20000)
    # The integral has no finite norm against white noise: it is left out on both sides.
    a, b, c, d = (np.asarray(m) for m in (k.A, k.B, k.C, k.D))
    quick = control.ss(a[:3, :3], b[:3], c[:, :3], d, PERIOD)
    volts = _law(body, noise)
    assert volts.std() == pytest.approx(h2_norm(quick), rel=0.1)
    assert quick.poles().size == 3


@pytest.mark.parametrize("name", BODIES)
def test_noise_of_the_closed_loop_against_the_transfer_function(name):
    """python-control: the whole bench at a hold, on a body without dry friction and rough tracks, under a
    track noise that hides the converter's steps, against σ ‖K F/(1 − G F K)‖₂ volts, within 10 %.
    """
    sigma, seconds = 5e-4, 22.0
    learning = tt.Bench(pedal="half-slope-low", body=name, wiring={"kind": "ideal"}).parameters
    learning = learning.replace({"acquisition.bits": 16})
    smooth = {f"body.mechanics.friction.{what}": 1e-4 for what in ("coulomb", "breakaway")}
    smooth |= {"body.mechanics.motor.brush_drop": 0.0, "body.mechanics.motor.gear_efficiency": 1.0}
    smooth |= {"controller.rest_band": 0.0, "controller.rest_limit": 0.0}
    for k in range(1, 1 + len(learning.body.tracks)):
        smooth |= {
            f"body.tracks[{k}].{what}": value
            for what, value in {"noise": sigma, "roughness": 0.0, "hysteresis": 0.0}.items()
        }
    bench = learning.replace(smooth)
    case = tt.Case(parameters=bench, stroke=tt.Stroke(time=[0, 0.5, 0.9, seconds], travel=[0, 0, 0.55, 0.55]))
    record = tt.run_case(case, learned=tt.run_learn(tt.Case(parameters=learning)).result, trace=True).record
    held = record.time > 2.0
    body = bench.body
    track, stops = body.tracks[0], body.mechanics.stops
    angle = sigma / abs(track.ratio[-1] - track.ratio[0]) * (stops.open_angle - stops.closed_angle)
    filtered = regulator(body) * input_filter()
    blade = mechanics(body, body.mechanics.springs.open_rate, 2.0 * bench.bridge.switch_resistance)
    computed = angle * h2_norm(control.feedback(filtered, blade, sign=1))
    assert (record["duty"] * record["supply"])[held].std() == pytest.approx(computed, rel=0.1)


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
