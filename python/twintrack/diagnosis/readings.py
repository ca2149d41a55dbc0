# SPDX-License-Identifier: BSD-3-Clause
"""What may be observed of a bench: readings of a meter, and what a code reader or the eye shows.

A meter is off by a share of its reading and a fixed amount, both bounds; a bound b counts as a standard
deviation b/√3 (all values within it equally likely). Resistances are compared as log₁₀(R + 0.1 Ω), up to
where a meter says "open" (20 MΩ).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

#: Words of the eye and the code reader: column of the dictionary → question.
SIGNS = {
    "codes": "Which trouble codes are stored, in which order?",
    "key_on": "What does the blade do at key-on, the foot off?",
    "follows": "Does the throttle follow the pedal?",
    "refusal": "What does a range learn that is run now say?",
    "idle_rpm": "How fast does the engine idle, in 1/min?",
}

#: Names of the ground, for a meter's black lead.
GROUNDS = ("battery minus", "engine block", "ground")

#: [ohm] at which a meter says "open"; what is added before the logarithm.
OPEN, _LEAST = 20e6, 0.1


@dataclass(frozen=True)
class Meter:
    """Bounds of its error: of volts (share, [V]), of ohms (share, [ohm]), of an idle speed [1/min]."""

    volts_share: float = 0.005
    volts: float = 0.005
    ohms_share: float = 0.01
    ohms: float = 0.3
    rpm: float = 20.0


@dataclass(frozen=True)
class Reading:
    """One thing to measure.

    ``kind``: "volts" at ``a`` against ``b`` in ``stand``, "ohms" between ``a`` and ``b``, or a key of SIGNS.
    """

    kind: str
    a: str = ""
    b: str = ""
    stand: str = ""

    @property
    def text(self) -> str:
        if self.kind == "volts":
            return f"volts at {self.a} against {self.b}, {STAND_WORDS[self.stand]}"
        if self.kind == "ohms":
            return f"ohms between {self.a} and {self.b}, all unplugged" + (
                " but the motor" if self.a.startswith("lead") else ""
            )
        return SIGNS[self.kind]

    @property
    def number(self) -> bool:
        return self.kind in ("volts", "ohms", "idle_rpm")


STAND_WORDS = {
    "rest": "foot off, blade as the springs leave it",
    "half": "foot at half",
    "full": "foot on the floor",
    "closed": "blade held closed by hand",
    "open": "blade held open by hand",
}


def scaled(reading: Reading, values: Floats | float) -> Floats:
    """As readings are compared: volts and speeds as they are, resistances as logarithms."""
    values = np.asarray(values, dtype=float)
    return np.log10(np.clip(values, 0.0, OPEN) + _LEAST) if reading.kind == "ohms" else values


def meter_deviation(reading: Reading, values: Floats | float, meter: Meter) -> Floats:
    """Standard deviation of the meter's error at unscaled ``values``, in the scaled unit."""
    values = np.abs(np.asarray(values, dtype=float))
    if reading.kind == "volts":
        bound = meter.volts_share * values + meter.volts
    elif reading.kind == "ohms":
        values = np.minimum(values, OPEN)
        bound = (meter.ohms_share * values + meter.ohms) / (values + _LEAST) / math.log(10.0)
    else:
        bound = np.full_like(values, meter.rpm)
    return np.asarray(bound / math.sqrt(3.0))


def shown(reading: Reading, value: float) -> str:
    """A value with its unit."""
    if reading.kind == "volts":
        return f"{value + 0.0:.3f} V".replace("-0.000", "0.000")
    if reading.kind == "idle_rpm":
        return f"{value:.0f} 1/min"
    if value >= OPEN:
        return "open"
    for factor, unit in ((1e6, "MΩ"), (1e3, "kΩ")):
        if value >= factor:
            return f"{value / factor:.3g} {unit}"
    return f"{value:.2f} Ω"
