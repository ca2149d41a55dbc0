# SPDX-License-Identifier: BSD-3-Clause
"""A unit as the standard has it: powers of the base units, a factor and an offset."""

from __future__ import annotations

from ..units import powers

#: pint's names of the standard's base units.
_BASE = {
    "kilogram": "kg",
    "meter": "m",
    "second": "s",
    "ampere": "A",
    "kelvin": "K",
    "mole": "mol",
    "candela": "cd",
    "radian": "rad",
}


def base_unit(unit: str) -> dict[str, str]:
    """The attributes of ``BaseUnit``."""
    if unit == "degC":
        return {"K": "1", "offset": "273.15"}
    factor, bases = powers(unit)
    found = {_BASE[name]: str(power) for name, power in bases.items()}
    return found if factor == 1.0 else found | {"factor": repr(factor)}
