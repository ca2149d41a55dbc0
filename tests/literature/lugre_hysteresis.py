# SPDX-License-Identifier: BSD-3-Clause
"""Where the figure on the page of lib/plant comes from.

How far the fade of the bristle damping widens the loop of friction over velocity, experiment of Canudas
de Wit et al. 1995 (parameters of their table I; the swing of 1.5 ± 1 mm/s is from memory).
Usage: python lugre_hysteresis.py
"""

import numpy as np
from scipy.integrate import solve_ivp

STIFFNESS, DAMPING, VISCOUS, COULOMB, BREAKAWAY, STRIBECK = 1e5, np.sqrt(1e5), 0.4, 1.0, 1.5, 0.001


def level(v):
    return COULOMB + (BREAKAWAY - COULOMB) * np.exp(-((v / STRIBECK) ** 2))


def widest(rate, fade):
    """Largest difference [N] between rising and falling velocity, over the third period."""

    def v(t):
        return 0.0015 + 0.001 * np.sin(rate * t)

    def z_rate(t, z):
        return v(t) - STIFFNESS * np.abs(v(t)) * z / level(v(t))

    period = 2 * np.pi / rate
    solved = solve_ivp(
        z_rate, (0, 3 * period), [level(v(0)) / STIFFNESS], "LSODA", dense_output=True, rtol=1e-10, atol=1e-14
    )
    t = np.linspace(2 * period, 3 * period, 20001)
    speed, z = v(t), solved.sol(t)[0]
    damping = DAMPING * 4 * level(speed) / (4 * level(speed) + DAMPING * np.abs(speed)) if fade else DAMPING
    force = STIFFNESS * z + damping * z_rate(t, z) + VISCOUS * speed
    rising = np.gradient(speed) > 0
    grid = np.linspace(speed.min() * 1.02, speed.max() * 0.98, 400)
    up, down = (np.argsort(speed[side]) for side in (rising, ~rising))
    curve_up = np.interp(grid, speed[rising][up], force[rising][up])
    return np.abs(curve_up - np.interp(grid, speed[~rising][down], force[~rising][down])).max()


if __name__ == "__main__":
    for rate in (1, 10, 25):
        print(f"{rate} rad/s: the loop is {100 * (widest(rate, True) / widest(rate, False) - 1):.1f} % wider")
