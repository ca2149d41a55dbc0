# SPDX-License-Identifier: BSD-3-Clause
"""Injected faults, seen by what they do to the parameters that one would estimate from a drive.

R. Isermann, "Combustion Engine Diagnosis", 2017, table 7.1.3: which estimated parameter of an electronic
throttle rises (+), falls (-) or stays (0) for which fault. (Read in a flattened text; only its unambiguous
rows are here.) The estimators are least squares as in eqs. 7.1.24-26 and 7.1.32 there, plus the inductance:

    u = R i + psi w + c0 + L di/dt                 psi i = J dw/dt + c theta + d w + M_S + M_F sign w

and, as the table has it for friction in the gear, once more without M_F: "fast excitation". Plant faults and
those of the angle are faults of the bench; those of voltage and current, for which it has no sensor, are put
on the signals.
"""

import functools

import numpy as np
import pytest
from scipy.signal import savgol_filter

import twintrack as tt

PARAMETERS = ("R", "psi", "c0", "J", "c", "d", "M_S")
OFF = tt.CheckParameters(enabled=False)
WIRES = {"kind": "harness"}
#: As published, but for a stiffer spring, so that its rate shows beside the friction (invented), and with
#: smooth tracks: a wiper's roughness belongs to the place, and an offset moves the blade to other places (the
#: estimate of the spring's rate by 2.5 … 4 %).
BODY = tt.body("set-a").replace(
    {
        "mechanics.springs.rest_angle": -1.2,
        "mechanics.springs.open_rate": 0.3,
        "tracks[1].roughness": 0.0,
        "tracks[2].roughness": 0.0,
    }
)
FIRST, LAST = BODY.tracks[0].ratio


class Shaker:
    """Holds the blade in mid travel and shakes it with three tones."""

    def step(self, seen):
        tones = ((0.16, 1.3), (0.12, 3.1), (0.08, 5.7))
        wanted = 0.5 + sum(a * np.sin(2 * np.pi * f * seen.time) for a, f in tones)
        opening = (seen.throttle[0] - FIRST) / (LAST - FIRST)
        return tt.Command(mode="drive", duty=float(np.clip(1.5 * (wanted - opening) + 0.17, -0.95, 0.95)))


@functools.cache
def drive(*faults, wired=False):
    """Voltage, current and angle as a diagnosis would have them, 1 kHz."""
    bench = tt.Bench(
        pedal="opposed",
        body=BODY,
        monitor=tt.MonitorParameters(range=OFF, correlation=OFF, deviation=OFF),
        wiring=WIRES if wired else {"kind": "ideal"},
    )
    assert bench.learn().accepted
    session = bench.session(tt.Stroke.rest(duration=6.0), controller=Shaker(), faults=list(faults))
    for _ in range(6000):
        session.step()
    assert session.outcome.ok, session.outcome.reason
    record = session.record
    voltage = record["duty"] * record["supply"] if wired else record["motor.voltage"]
    angle = (record["throttle.track1"] / 5.0 - FIRST) / (LAST - FIRST) * np.pi / 2
    return voltage, record["motor.current"], angle


def estimate(voltage, current, angle, *, coulomb):
    def smooth(signal, derivative=0):
        return savgol_filter(signal, 21, 3, deriv=derivative, delta=1e-3)

    speed, u, i = smooth(angle, 1), smooth(voltage), smooth(current)
    use = (np.arange(len(u)) > 500) & (np.abs(speed) > 0.5) & (angle > 0.05) & (angle < 1.5)
    assert use.sum() > 2000
    one, w = np.ones(use.sum()), speed[use]

    def fit(target, *columns):
        return np.linalg.lstsq(np.column_stack(columns), target, rcond=None)[0]

    r, psi, c0, _ = fit(u[use], i[use], w, one, smooth(current, 1)[use])
    mechanical = [smooth(angle, 2)[use], smooth(angle)[use], w, one]
    j, c, d, m_s, *_ = fit(psi * i[use], *mechanical, *([np.sign(w)] if coulomb else []))
    return dict(zip(PARAMETERS, (r, psi, c0, j, c, d, m_s), strict=True))


def fault(where, what, amount):
    return tt.Fault(where=where, what=what, amount=amount)


def signs(before, after):
    """A word of signs: + or - from 4 % on (c0: 0.1 V), 0 up to 2.5 % (0.03 V), ? between."""
    word = ""
    for name in PARAMETERS:
        change = after[name] - before[name]
        if name == "c0":
            change *= 0.4  # so that 0.1 V counts as 4 %
        else:
            change /= abs(before[name])
        word += "0" if abs(change) < 0.025 else "?" if abs(change) < 0.04 else "+" if change > 0 else "-"
    return word


# In the order of PARAMETERS. A torque that closes the blade is what more preload is.
PLANT = {
    "more preload": (fault("blade", "torque", -0.1), "000000+"),
    "less preload": (fault("blade", "torque", 0.1), "000000-"),
    "winding resistance": (fault("motor", "heat", 60.0), "+000000"),
    "angle offset up": (fault("throttle.track1", "offset", 0.10), "000000-"),
    "angle offset down": (fault("throttle.track1", "offset", -0.09), "000000+"),
    "angle scale up": (fault("throttle.track1", "gain", 1.1), "0-0----"),
    "angle scale down": (fault("throttle.track1", "gain", 0.9), "0+0++++"),
}


@pytest.mark.parametrize("name", PLANT)
def test_faults_of_plant_and_angle(name):
    injected, expected = PLANT[name]
    healthy = estimate(*drive(), coulomb=True)
    assert signs(healthy, estimate(*drive(injected), coulomb=True)) == expected


def test_resistance_in_a_wire_is_resistance_of_the_armature_circuit():
    """Seen from the controller, whose voltage is duty times supply."""
    healthy = estimate(*drive(wired=True), coulomb=True)
    corroded = estimate(*drive(fault("motor +", "series", 0.5), wired=True), coulomb=True)
    assert signs(healthy, corroded) == "+000000"
    assert corroded["R"] - healthy["R"] == pytest.approx(0.5, rel=0.1)


def test_friction_in_the_gear():
    """Fast excitation: a fit that knows no Coulomb friction takes it for inertia, stiffness and damping."""
    healthy = estimate(*drive(), coulomb=False)
    rough = estimate(*drive(fault("body.friction", "scale", 1.5)), coulomb=False)
    assert signs(healthy, rough)[:6] == "000+++"


SIGNALS = {
    "voltage offset": (lambda u, i: (u + 0.3, i), "00+0000"),
    "voltage offset down": (lambda u, i: (u - 0.3, i), "00-0000"),
    "current offset": (lambda u, i: (u, i + 0.3), "00-000+"),
    "current offset down": (lambda u, i: (u, i - 0.3), "00+000-"),
    "voltage scale": (lambda u, i: (1.1 * u, i), "++0++++"),  # c0 too where it is not zero; here it is
    "voltage scale down": (lambda u, i: (0.9 * u, i), "--0----"),
    "current scale": (lambda u, i: (u, 1.1 * i), "-00++++"),
    "current scale down": (lambda u, i: (u, 0.9 * i), "+00----"),
}


@pytest.mark.parametrize("name", SIGNALS)
def test_faults_of_voltage_and_current(name):
    spoil, expected = SIGNALS[name]
    voltage, current, angle = drive()
    healthy = estimate(voltage, current, angle, coulomb=True)
    assert signs(healthy, estimate(*spoil(voltage, current), angle, coulomb=True)) == expected


def test_the_healthy_drive_gives_back_what_was_described():
    """The published motor and inertia (Loh, Thanom, Pyko, Lee 2013, second-hand), within 6 % of them."""
    m = BODY.mechanics
    found = estimate(*drive(), coulomb=True)
    assert found["R"] == pytest.approx(m.motor.resistance, rel=0.06)
    assert found["psi"] == pytest.approx(m.motor.constant, rel=0.06)
    assert found["J"] == pytest.approx(m.inertia, rel=0.06)
    assert found["c"] == pytest.approx(m.springs.open_rate, rel=0.1)
