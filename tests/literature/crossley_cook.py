# SPDX-License-Identifier: BSD-3-Clause
"""Where the numbers of engine_crossley_cook_test.cpp come from: the paper's polynomials alone, solved by
SciPy.

    python tests/literature/crossley_cook.py

Operating points, inertia and load step are this project's own.
"""

from math import pi

from scipy.optimize import brentq


def throttle(angle: float, pressure: float) -> float:
    """Flow [g/s] at an angle [deg] and a pressure [bar]."""
    full = 2.821 - 0.05231 * angle + 0.10299 * angle**2 - 0.00063 * angle**3
    return full * (1.0 if pressure <= 0.5 else 2.0 * (pressure - pressure**2) ** 0.5)


def pump(speed: float, pressure: float) -> float:
    """Flow into the cylinders [g/s] at a speed [rad/s]."""
    return -0.366 + 0.08979 * speed * pressure - 0.0337 * speed * pressure**2 + 0.0001 * speed**2 * pressure


def torque(charge: float, speed: float, mixture: float = 14.6, spark: float = 15.0) -> float:
    """Torque [N·m] of a charge [g]."""
    return (
        -181.3 + 379.36 * charge + 21.91 * mixture - 0.85 * mixture**2 + 0.26 * spark - 0.0028 * spark**2
        + 0.027 * speed - 0.000107 * speed**2 + 0.00048 * speed * spark
        + 2.55 * spark * charge - 0.05 * spark**2 * charge
    )  # fmt: skip


def equilibrium(angle: float, speed: float) -> tuple[float, float, float]:
    """Pressure, flow and torque at which flow in and out are equal."""
    pressure = brentq(lambda p: throttle(angle, p) - pump(speed, p), 0.05, 1.0)
    flow = pump(speed, pressure)
    return pressure, flow, torque(flow * pi / speed, speed)


if __name__ == "__main__":
    for angle, rpm in ((7, 1200), (11, 1800), (11, 2600), (15, 2400), (24, 3600), (50, 4400)):
        pressure, flow, moment = equilibrium(angle, rpm * pi / 30.0)
        print(f"{{{angle}, {rpm}, {pressure:.4f}, {flow:.3f}, {moment:.2f}}}")
    load = equilibrium(11, 1800 * pi / 30.0)[2] - 8.0
    speed = brentq(lambda w: equilibrium(11, w)[2] - load, 150.0, 300.0)
    print(f"11 deg, 8 N·m less than at 1800 rpm: {speed * 30.0 / pi:.1f} rpm")
