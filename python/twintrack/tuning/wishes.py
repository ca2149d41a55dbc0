# SPDX-License-Identifier: BSD-3-Clause
"""What is asked of a position loop."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Any, ClassVar

from ..errors import InputError, closest, listing


@dataclass(frozen=True)
class Wishes:
    """Limits of a step of 72° (or what the travel allows) and back, of the holds after, of the margins."""

    settling: float = 0.14
    """[s] until the blade stays within 1° of the demand."""
    overshoot: float = 2.0
    """[deg]"""
    duty_noise: float = 0.02
    """Rms of the duty about its mean at the hold, share of the supply."""
    phase_margin: float = 50.0
    """[deg] of the linear loop of a sliding blade."""
    gain_margin: float = 2.0
    """Factor."""

    UNITS: ClassVar[dict[str, str]] = {
        "settling": "s",
        "overshoot": "°",
        "duty_noise": "",
        "phase_margin": "°",
        "gain_margin": "",
    }

    def __post_init__(self) -> None:
        tops = {"settling": 1.0, "overshoot": 45.0, "duty_noise": 1.0, "phase_margin": 90.0}
        for name, value in self.items():
            top = tops.get(name, 100.0)
            if not (isinstance(value, (int, float)) and math.isfinite(value) and 0.0 < value <= top):
                raise InputError(f"{name}: must be a number above 0, at most {top:g}; got {value!r}")

    @classmethod
    def of(cls, values: dict[str, Any]) -> Wishes:
        """From names and values; raises :class:`InputError` for a wish that does not exist."""
        known = [field.name for field in fields(cls)]
        for name in values:
            if name not in known:
                raise InputError(
                    f"there is no wish {name!r}{closest(name, known)} (there are: {listing(known)})"
                )
        return cls(**values)

    def items(self) -> list[tuple[str, float]]:
        """Names and limits."""
        return [(field.name, getattr(self, field.name)) for field in fields(self)]

    def excess(self, name: str, value: float) -> float:
        """How far a value breaks its wish, share of the limit; 0 when it is met, infinite without value."""
        limit: float = getattr(self, name)
        if math.isnan(value):
            return math.inf
        over = limit - value if name.endswith("margin") else value - limit
        return max(over / limit, 0.0)
