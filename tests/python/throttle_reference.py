# SPDX-License-Identifier: BSD-3-Clause
"""The throttle body's equations once more, from the literature in plain Python, for SciPy's integrators.

Motor and springs: R. Isermann, "Combustion Engine Diagnosis", ch. 7.1.2. Friction: C. Canudas de Wit,
H. Olsson, K. J. Åström, P. Lischinsky, IEEE Trans. Autom. Control 40(3):419-425, 1995, with the bristle
damping in parallel with 4 g/|ω|, which keeps the model passive. Stops: Hunt & Crossley, J. Appl. Mech.
42(2):440-445, 1975 (from memory). Shares no code with the library: only its parameter values come in.
"""

from __future__ import annotations

import math
from typing import Any


class Throttle:
    """States: current [A], blade angle [rad], blade speed [rad/s], bristle deflection [rad]."""

    def __init__(self, mechanics: Any, bridge: Any, supply: float) -> None:
        self.m, self.bridge, self.supply = mechanics, bridge, supply
        motor = mechanics.motor
        self.resistance = motor.resistance * (1 + 0.00393 * (motor.temperature - 20))
        self.k = motor.gear_ratio * motor.constant

    def friction(self, speed: float, bristle: float, gear_torque: float) -> tuple[float, float]:
        f = self.m.friction
        level = f.coulomb + (f.breakaway - f.coulomb) * math.exp(-((speed / f.stribeck_speed) ** 2))
        level += (1 - self.m.motor.gear_efficiency) * abs(gear_torque)
        if f.kind == "simple":
            return level * speed / math.hypot(speed, f.smoothing_speed) + f.viscous * speed, 0.0
        rate = speed - f.bristle_stiffness * abs(speed) / level * bristle
        damping = f.bristle_damping
        if damping and speed:
            damping = 1 / (1 / damping + abs(speed) / (4 * level))
        return f.bristle_stiffness * bristle + damping * rate + f.viscous * speed, rate

    def spring(self, angle: float) -> float:
        s = self.m.springs
        beyond = angle - s.rest_angle
        share = min(abs(beyond) / s.width, 1.0)
        if beyond > 0:
            return -(s.open_preload * share + s.open_rate * beyond)
        return s.close_preload * share - s.close_rate * beyond

    def stop(self, angle: float, speed: float) -> float:
        s = self.m.stops
        if angle < s.closed_angle:
            return s.stiffness * (s.closed_angle - angle) * max(1 - s.damping * speed, 0.0)
        if angle > s.open_angle:
            return -s.stiffness * (angle - s.open_angle) * max(1 + s.damping * speed, 0.0)
        return 0.0

    def voltage(self, mode: str, duty: float, current: float, flow: float) -> float:
        """At the motor. ``flow`` is the sign of a current that dies through the diodes of an open bridge."""
        b = self.bridge
        if mode == "high_impedance":
            return -flow * (self.supply + 2 * b.diode_drop)
        if mode == "brake":
            return -2 * b.switch_resistance * current
        push = duty * self.supply
        if push * current > 0:  # the limit fades the push out between I and 1.05 I
            push *= min(max((1.05 * b.current_limit - abs(current)) / (0.05 * b.current_limit), 0.0), 1.0)
        return push - (2 * b.switch_resistance + duty**2 * b.supply_resistance) * current

    def rates(self, x: Any, mode: str, duty: float, flow: float) -> list[float]:
        current, angle, speed, bristle = x
        gear_torque = self.k * current
        rub, bristle_rate = self.friction(speed, bristle, gear_torque)
        torque = gear_torque + self.spring(angle) + self.stop(angle, speed) - rub
        drop = (
            self.resistance * current
            + self.m.motor.brush_drop * current / (abs(current) + 0.05)
            + self.k * speed
        )
        if mode == "high_impedance" and not flow:
            current_rate = 0.0
        else:
            current_rate = (self.voltage(mode, duty, current, flow) - drop) / self.m.motor.inductance
        return [current_rate, speed, torque / self.m.inertia, bristle_rate]
