# SPDX-License-Identifier: BSD-3-Clause
"""Linear models against python-control, SciPy, the literature, and the equations written down once more."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
from scipy import signal
from test_loop_margins import regulator
from throttle_reference import Throttle

import twintrack as tt
from twintrack import linear
from twintrack.errors import InputError
from twintrack.linear import plot

control = pytest.importorskip("control")

BODIES = sorted(tt.bodies())
MOTIONS = ["opening", "closing", "stuck"]


def bristle_free(system):
    """The poles, without the bristles' own."""
    return sorted(system.poles.real, key=abs)[: len(system.A) - 1]


def test_set_a_has_the_poles_of_the_literature():
    """Loh, Thanom, Pyko, Lee 2013 (second-hand): the poles of θ/u computed from its table, in 1/s."""
    plant = linear.plant(tt.body("set-a"), angle=0.5, motion="opening")
    assert bristle_free(plant) == pytest.approx([-0.829, -52.55, -950.8], rel=5e-4)
    held = plant.sampled(1e-3)
    assert sorted(abs(held.poles))[-3:] == pytest.approx([0.3864, 0.9488, 0.99917], rel=2e-4)


def test_set_a_has_the_transfer_function_of_the_literature():
    """The same: θ/u = 0.383/(3.15e-6 s³ + 3.1632e-3 s² + 0.16002 s + 0.1305), by python-control."""
    plant = linear.plant(tt.body("set-a"), angle=0.5, motion="closing").select("voltage", "angle")
    published = control.tf([0.383], [3.15e-6, 3.1632e-3, 0.16002, 0.1305])
    ours = control.ss(*plant)
    for w in np.geomspace(0.01, 3000.0, 40):
        assert ours(1j * w) == pytest.approx(published(1j * w), rel=1e-4)


@pytest.mark.parametrize("motion", MOTIONS)
@pytest.mark.parametrize("name", BODIES)
def test_jacobian_against_central_differences(name, motion):
    """Of the literature's equations in plain Python (throttle_reference.py), to 1e-7 of a row's largest."""
    body, bridge, supply = tt.body(name).mechanics, tt.BridgeParameters(), 12.6
    angle = body.stops.closed_angle + 0.6 * (body.stops.open_angle - body.stops.closed_angle)
    plant = linear.plant(body, angle=angle, motion=motion, speed=0.7, supply=supply, bridge=bridge)
    at = np.array([plant.point[s.name] for s in plant.states])
    inputs = np.array([plant.point["duty"], supply])

    def rates(x, u):
        return np.array(Throttle(body, bridge, u[1]).rates(x, "drive", u[0], 0.0))

    def differences(of, around, size):
        columns = []
        for k in range(len(around)):
            h = np.zeros(len(around))
            h[k] = size * max(abs(around[k]), 1e-3)
            columns.append((of(around + h) - of(around - h)) / (2.0 * h[k]))
        return np.array(columns).T

    a = differences(lambda x: rates(x, inputs), at, 1e-5)
    b = differences(lambda u: rates(at, u), inputs, 1e-5)
    for ours, theirs in ((plant.A, a), (plant.B[:, :2], b)):
        scale = np.abs(theirs).max(axis=1, keepdims=True) + 1e-12
        assert np.abs(ours - theirs) / scale == pytest.approx(0.0, abs=1e-7)
    at_rest = rates(at, inputs)
    assert at_rest[[0, 2, 3]] / [1e3, 1e3, 1.0] == pytest.approx(0.0, abs=1e-9), "no point of balance"


@pytest.mark.parametrize("name", BODIES)
def test_sampled_as_scipy_does(name):
    """SciPy's cont2discrete, and lsim for the answer to a stair of voltages."""
    plant = linear.plant(tt.body(name), motion="opening").select("voltage", ["angle", "current"])
    a, b, *_ = signal.cont2discrete(tuple(plant), 1e-3, "zoh")
    held = plant.sampled(1e-3)
    np.testing.assert_allclose(held.A, a, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(held.B, b, rtol=1e-9, atol=1e-12)
    times, answer = linear.step_response(plant, 0.2, 201)
    _, expected, _ = signal.lsim(tuple(plant), np.ones(201), times)
    np.testing.assert_allclose(answer[:, :, 0], expected, rtol=1e-7, atol=1e-9)


@pytest.mark.parametrize("name", BODIES)
def test_loop_against_its_equations(name):
    """The regulator written down from the pages of lib/control (test_loop_margins.py), over frequency."""
    body = tt.body(name)
    stops = body.mechanics.stops
    loop = linear.loop(body, opening=0.6).select("opening", "voltage")
    travel = stops.open_angle - stops.closed_angle
    ours, theirs = control.ss(*loop), regulator(body)
    for w in np.geomspace(1.0, 3000.0, 25):
        z = np.exp(1j * w * 1e-3)
        assert ours(z) == pytest.approx(theirs(z) * travel, rel=1e-9)


@pytest.mark.parametrize("name", BODIES)
def test_bench_is_stable_and_reaches_what_is_asked(name):
    bench = linear.bench(tt.body(name), opening=0.5)
    assert bench.stable
    still = bench.select("demand", "opening")
    gain = still.C @ np.linalg.solve(np.eye(len(still.A)) - still.A, still.B) + still.D
    assert gain.item() == pytest.approx(1.0, abs=1e-9), "the integral leaves no error"
    assert control.ss(*still).dt == 1e-3


@pytest.mark.parametrize("name", BODIES)
def test_margins_against_python_control(name):
    cut = linear.bench(tt.body(name), opening=0.5, closed=False)
    ours = linear.margins(cut)
    gain, phase, stability, gain_at, phase_at, _ = control.stability_margins(
        control.ss(*cut), method="frd", returnall=True
    )
    nearest = np.argmin(np.abs(phase))
    assert ours.phase == pytest.approx(phase[nearest], abs=0.05)
    assert ours.phase_at == pytest.approx(phase_at[nearest] / (2 * math.pi), rel=1e-3)
    assert ours.modulus == pytest.approx(min(stability), rel=1e-2)
    upper = np.argmin(np.abs(np.log(gain)))
    assert ours.gain == pytest.approx(gain[upper], rel=5e-3)
    assert ours.gain_at == pytest.approx(gain_at[upper] / (2 * math.pi), rel=5e-3)


def test_temperature_and_supply():
    """IEC 60028 (from memory): copper gains 0.393 % of its resistance at 20 °C per kelvin."""
    body = tt.body("set-a")
    cold, hot = (linear.plant(body, temperature=t) for t in (20.0, 120.0))
    assert hot.A[0, 0] / cold.A[0, 0] == pytest.approx(1.393, rel=1e-9)
    bridge = tt.BridgeParameters()
    low, high = (linear.plant(body, supply=u, bridge=bridge, motion="stuck") for u in (9.0, 13.5))
    assert high.B[0, 0] / low.B[0, 0] == pytest.approx(13.5 / 9.0, rel=1e-2), (
        "duty acts in proportion to the supply"
    )


def test_band_holds_the_nominal_and_grows_with_the_tolerance():
    body = tt.body("set-a")

    def build(b):
        return linear.bench(b, nominal=body, opening=0.5, closed=False)

    paths = ("mechanics.motor.resistance", "mechanics.motor.constant", "mechanics.inertia")
    wide, narrow = (linear.response_band(build, body, dict.fromkeys(paths, t), draws=16) for t in (0.2, 0.02))
    spread = [b.magnitude(0.95) / b.magnitude(0.05) - 1.0 for b in (wide, narrow)]
    assert spread[0].max() > 5.0 * spread[1].max() > 0.0
    inside = (np.abs(wide.nominal) > wide.magnitude(0.0)) & (np.abs(wide.nominal) < wide.magnitude(1.0))
    assert inside.mean() > 0.9
    assert plot.bode(wide.frequency, wide.nominal, band=wide, margin=linear.margins(build(body))).axes
    assert plot.pole_map(build(body), band=wide).axes
    bench = linear.bench(body, opening=0.5)
    assert plot.step(*linear.step_response(bench, 0.3), bench).axes


def test_quick():
    """A bench in at most 2 ms of processor time, a body in a tenth of that."""
    body = tt.body("set-a")

    def mean(work, times=50):
        began = time.thread_time()
        for _ in range(times):
            work()
        return (time.thread_time() - began) / times

    assert mean(lambda: linear.bench(body, opening=0.5)) < 2e-3
    assert mean(lambda: linear.plant(body)) < 2e-4


def test_a_loop_without_delay_is_refused():
    gain = linear.LinearSystem(*(np.zeros(s) for s in ((0, 0), (0, 1), (1, 0))), np.eye(1), (),
                               (linear.Signal("u"),), (linear.Signal("y"),))  # fmt: skip
    with pytest.raises(InputError, match="without delay"):
        linear.connect({"g": gain}, {"g.u": "g.y"}, {}, {"y": "g.y"})


def one(body):
    return linear.plant(body).select("voltage", "angle")


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda b: linear.plant(b, angle=9.0), "angle"),
        (lambda b: linear.plant(b, motion="sideways"), "opening, closing, stuck"),
        (lambda b: linear.plant(b, supply=2.0, bridge=tt.BridgeParameters()), "cannot do that"),
        (lambda b: linear.plant(b, supply=math.nan), "supply"),
        (lambda b: linear.plant(b).select(inputs="volts"), "did you mean 'voltage'"),
        (lambda b: linear.plant(b).sampled(0.0), "positive"),
        (lambda b: linear.margins(linear.plant(b)), "one input"),
        (lambda b: linear.response_band(one, b, {"mechanics.motors": 0.1}), "motors"),
        (lambda b: linear.step_response(linear.plant(b), -1.0), "duration"),
    ],
)
def test_errors_are_told(make, words):
    with pytest.raises((InputError, tt.InvalidParameter), match=words):
        make(tt.body("set-a"))
