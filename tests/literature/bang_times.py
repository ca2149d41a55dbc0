# SPDX-License-Identifier: BSD-3-Clause
"""Where the numbers of bang_times_test.cpp come from: Set A with plain Coulomb friction, solved by SciPy.

    python tests/literature/bang_times.py

Values: support/bodies.hpp. Bridge and supply have no resistance; an open bridge carries no current.
"""

from __future__ import annotations

from math import radians
from typing import Any

from scipy.integrate import solve_ivp

R, L, K, J = 1.5, 1.5e-3, 0.383, 0.0021
PRELOAD, RATE, COULOMB, VISCOUS = 0.396, 0.087, 0.284, 0.0088


def travel(volts: float | None, start: float, end: float) -> tuple[float, float]:
    """Time [s] and speed [rad/s] of arrival; ``volts`` None: the bridge is open."""
    side = 1.0 if end > start else -1.0

    def rates(_time: float, x: Any) -> list[float]:
        current, angle, speed = x
        spring = -(PRELOAD + RATE * angle)
        torque = K * current + spring - VISCOUS * speed - COULOMB * side
        current_rate = 0.0 if volts is None else (volts - R * current - K * speed) / L
        return [current_rate, speed, torque / J]

    def arrives(_time: float, x: Any) -> float:
        return float(x[1] - radians(end))

    arrives.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(
        rates, (0.0, 3.0), [0.0, radians(start), 0.0], "LSODA", events=arrives, rtol=1e-9, atol=1e-10
    )
    return float(found.t_events[0][-1]), abs(float(found.y_events[0][-1][2]))


if __name__ == "__main__":
    for name, volts, start, end in (
        ("open, 12 V", 12.0, 0.0, 80.0),
        ("shut, -12 V", -12.0, 80.0, 0.0),
        ("let go, bridge open", None, 80.0, 0.0),
        ("let go, leads shorted", 0.0, 80.0, 0.0),
    ):
        time, speed = travel(volts, start, end)
        print(f"{name}: {1000 * time:.1f} ms, {speed:.1f} rad/s")
