# SPDX-License-Identifier: BSD-3-Clause
"""A mean-value engine written from the equations of the literature, independently of the library, on SciPy.

Isothermal manifold, isentropic throttle, speed-density pumping, torque one turn after induction, spark one
segment later, friction, generator and starter (Guzzella & Onder 2010; Heywood 1988, from memory). Run as a
program it prints the table that `tests/literature/engine_scipy_test.cpp` compares with.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

AIR = {"pressure": 101325.0, "temperature": 288.15, "R": 287.053, "gamma": 1.4}
TICK = 1e-3


@dataclass
class Engine:
    volume: float = 3.0e-3
    gas_temperature: float = 328.0
    cylinders: int = 4
    displacement: float = 1.5e-3
    compression: float = 10.5
    filling: tuple = (0.90, 5.0e-4, -7.0e-7)
    air_share: float = 0.936
    efficiency: float = 0.36
    spark_loss: float = 0.7664
    mixture: float = 14.7
    heat: float = 42.5e6
    inertia: float = 0.14
    friction: tuple = (6.5e4, 100.0, 0.40)
    generator: tuple = (0.6, 50.0)
    starter: tuple = (110.0, 32.0, 45.0)


@dataclass
class History:
    """What was written at which crank angle, linear in between."""

    angle: list = field(default_factory=lambda: [-100.0, 0.0])
    value: list = field(default_factory=lambda: [0.0, 0.0])

    def write(self, angle, value):
        self.angle.append(angle)
        self.value.append(value)

    def window(self):
        return np.asarray(self.angle[-6000:]), np.asarray(self.value[-6000:])


def throttle_flow(area, pressure):
    g, outside = AIR["gamma"], AIR["pressure"]
    ratio = min(pressure / outside, 1.0)
    critical = (2 / (g + 1)) ** (g / (g - 1))

    def psi(r):
        r = max(r, critical)
        return np.sqrt(2 * g / (g - 1) * (r ** (2 / g) - r ** ((g + 1) / g)))

    if ratio > 0.99:  # the parabola with the value and the slope of the law at 0.99
        x, step = (1 - ratio) / 0.01, 1e-6
        slope = (psi(0.99 - step) - psi(0.99 + step)) / (2 * step) * 0.01 / psi(0.99)
        shape = psi(0.99) * ((2 - slope) * x + (slope - 1) * x * x)
    else:
        shape = psi(ratio)
    return area * outside / np.sqrt(AIR["R"] * AIR["temperature"]) * shape


def drawn_in(e, pressure, speed):
    """Air mass per second over speed [kg/rad]."""
    residual = (AIR["pressure"] / pressure) ** (1 / 1.35)
    by_pressure = max(e.compression / (e.compression - 1) - residual / (e.compression - 1), 0.0)
    by_speed = max(np.polyval(e.filling[::-1], speed), 0.0)
    density = pressure / (AIR["R"] * e.gas_temperature)
    return e.air_share * by_pressure * by_speed * density * e.displacement / (4 * np.pi)


def rates(e, y, inputs, fuel, spark, cranking):
    pressure, speed, _ = y
    flow_in = throttle_flow(inputs["area"], pressure)
    flow_out = drawn_in(e, pressure, speed) * speed
    torque = e.efficiency * spark * e.heat * fuel
    pumping = (AIR["pressure"] - pressure) * e.displacement / (4 * np.pi)
    rubbing = np.polyval(e.friction[::-1], abs(speed)) * e.displacement / (4 * np.pi)
    torque -= (pumping + rubbing + inputs["load"]) * speed / (abs(speed) + 0.5)
    torque -= inputs["power"] / e.generator[0] * max(speed, 0.0) / max(speed, e.generator[1]) ** 2
    if cranking:
        torque += e.starter[0] * min(max(1 - speed / e.starter[1], 0.0), 1.0)
    return [
        AIR["R"] * e.gas_temperature / e.volume * (flow_in - flow_out),
        torque / e.inertia,
        speed,
    ]


def simulate(e, scene, end):
    """Manifold pressure [Pa] and speed [rad/s] at each tick; `scene(t)` gives the inputs of the tick at t."""
    y = np.array([AIR["pressure"], 0.0, 0.0])
    fuel, spark = History(), History(value=[1.0, 1.0])
    running, table = False, []
    for k in range(round(end / TICK)):
        inputs = scene(k * TICK)
        table.append(y[:2].copy())
        running = running or y[1] >= e.starter[2]
        cranking = not running and inputs["starter"]
        burns = running or cranking
        fuel.write(y[2], drawn_in(e, y[0], y[1]) / e.mixture if burns else 0.0)
        spark.write(y[2], 1 - e.spark_loss * inputs["retard"] ** 2)
        fuel_angle, fuel_value = fuel.window()
        spark_angle, spark_value = spark.window()

        def slope(
            _,
            state,
            inputs=inputs,
            f=(fuel_angle, fuel_value),
            s=(spark_angle, spark_value),
            burns=burns,
            cranking=cranking,
        ):
            burning = np.interp(state[2] - 2 * np.pi, *f) if burns else 0.0
            efficiency = np.interp(state[2] - 2 * np.pi / e.cylinders, *s)
            return rates(e, state, inputs, burning, efficiency, cranking)

        y = solve_ivp(slope, (0, TICK), y, method="RK45", rtol=1e-9, atol=1e-9).y[:, -1]
        y[1] = max(y[1], 0.0)
    table.append(y[:2].copy())
    return np.array(table)


def scene(t):
    """Start, more air, an accessory on and off, less spark retard, more air still."""
    return {
        "starter": 0.2 <= t < 3.0,
        "area": 7.5e-6 if t < 5 else 9.5e-6 if t < 17 else 25e-6,
        "retard": 0.35 if t < 15 else 0.10,
        "load": 6.0 if 9 <= t < 13 else 0.0,
        "power": 250.0,
    }


if __name__ == "__main__":
    result = simulate(Engine(), scene, 20.0)
    for second in range(1, 21):
        speed, pressure = result[round(second / TICK)][1], result[round(second / TICK)][0]
        print(f"{{{second}, {speed * 30 / np.pi:.4f}, {pressure:.3f}}},")
