# SPDX-License-Identifier: BSD-3-Clause
"""Quantities written as text, such as ``"12.6 V"``, to floats in SI units and back.

The unit tables are loaded at the first use, so that importing the package stays quick.
"""

from __future__ import annotations

import functools
import math
import re
from typing import TYPE_CHECKING, Any

from .errors import InputError

if TYPE_CHECKING:
    import pint

_TEXT = re.compile(
    r"^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?|[+-]?(?:nan|inf|infinity))\s*(.*?)\s*$", re.I
)

#: Longest text that is taken for a quantity, in characters.
LONGEST = 100

#: A product of names with small whole powers; the unit tables' own parser would compute any power.
_NAME = r"(?:1|%|[^\W\d_]+|°[CF]?)(?:\s*(?:\^|\*\*)\s*[+-]?\d|[²³])?"
_UNIT = re.compile(rf"{_NAME}(?:(?:\s*[*/·]\s*|\s+){_NAME})*")

RPM = math.pi / 30.0  # [rad/s]


def finite(value: Any) -> float:
    """A number as a float; NaN for what is no finite number, texts and truth values among them."""
    if isinstance(value, bool | str | bytes):
        return math.nan
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        return math.nan
    return number if math.isfinite(number) else math.nan


#: A value to show in errors for each unit that files use.
_EXAMPLES = {
    "A": "12 A",
    "H": "1.2 mH",
    "N*m": "0.3 N*m",
    "N*m*s/rad": "0.005 N*m*s/rad",
    "N*m/A": "0.018 N*m/A",
    "N*m/rad": "0.06 N*m/rad",
    "V": "13.5 V",
    "V*s/rad": "1.5 V*s/rad",
    "V/rad": "100 V/rad",
    "V/rad/s": "1000 V/rad/s",
    "degC": "20 degC",
    "kg*m^2": "0.0025 kg*m^2",
    "ohm": "1.8 ohm",
    "rad": "17 deg",
    "rad/s": "0.3 rad/s",
    "s": "10 ms",
    "s/rad": "0.3 s/rad",
}


#: What nearly every file has, as a factor: read without the unit tables, which take half a second to load.
USUAL = {
    ("%", ""): 0.01,
    ("deg", "rad"): math.pi / 180.0,
    ("kohm", "ohm"): 1e3,
    ("mH", "H"): 1e-3,
    ("mV", "V"): 1e-3,
    ("mm", "m"): 1e-3,
    ("mm^2", "m^2"): 1e-6,
    ("ms", "s"): 1e-3,
}


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()


@functools.lru_cache(maxsize=1000)
def _base(unit: str) -> tuple[Any, Any]:
    """Dimension of a unit, and the power of the angle in it (which dimensions do not show)."""
    registry = _registry()
    parsed = registry.parse_units(unit)
    _, base = registry.get_base_units(parsed)
    angle = dict(base._units).get("radian", 0)
    return parsed.dimensionality, angle


def powers(unit: str) -> tuple[float, dict[str, int]]:
    """A unit of the fields as a factor and the powers of the base units by their full names; the angle counts
    as one of them."""
    factor: Any
    base: Any
    factor, base = _registry().get_base_units(_registry().parse_units(unit), check_nonmult=False)
    return float(factor), {str(name): round(power) for name, power in dict(base._units).items()}


def _compatible(given: str, wanted: str) -> bool:
    given_dimension, given_angle = _base(given)
    wanted_dimension, wanted_angle = _base(wanted)
    if given_dimension != wanted_dimension:
        return False
    strict = wanted_angle != 0 or wanted == ""  # "17 deg" is no plain number and "5 Hz" is no "5 rad/s"
    return not strict or given_angle == wanted_angle


def _expected(unit: str) -> str:
    if not unit:
        return "a plain number (or a percentage such as '5 %')"
    return f"a number with a unit that converts to {unit}, such as '{_EXAMPLES.get(unit, '1 ' + unit)}'"


def quantity(value: object, unit: str = "") -> float:
    """The value in ``unit`` as a float.

    ``value`` is text such as ``"12.6 V"`` or ``"17 deg"``. Where ``unit`` is empty it is a number, or text
    with a percentage. Raises :class:`InputError` when the text is no quantity, has no unit where one is
    needed or a unit of another dimension, or is not finite.
    """
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        if unit:
            raise InputError(f"the unit is missing; expected {_expected(unit)}")
        try:
            return _finite(float(value))
        except OverflowError:
            raise InputError(f"too large; expected {_expected(unit)}") from None
    if not isinstance(value, str):
        raise InputError(f"expected {_expected(unit)}")
    match = _TEXT.match(value) if len(value) <= LONGEST else None
    if not match:
        raise InputError(f"not a quantity; expected {_expected(unit)}")
    number, given = _finite(float(match[1])), match[2]
    if unit and not given:
        raise InputError(f"the unit is missing; expected {_expected(unit)}")
    return _finite(_convert(number, given, unit))


def _convert(number: float, given: str, unit: str) -> float:
    if given == unit:
        return number
    if (given, unit) in USUAL:
        return number * USUAL[given, unit]
    if given and not _UNIT.fullmatch(given):
        raise InputError(f"unknown unit {given!r}; expected {_expected(unit)}")
    registry = _registry()
    try:
        fits = _compatible(given, unit)
    except Exception as error:  # the parser raises many kinds
        raise InputError(f"unknown unit {given!r}; expected {_expected(unit)}") from error
    if not fits:
        raise InputError(
            f"wrong dimension: {given!r} does not convert to {unit or 'a plain number'}; "
            f"expected {_expected(unit)}"
        )
    return float(registry.Quantity(number, given).to(unit).magnitude)


def _finite(number: float) -> float:
    if not math.isfinite(number):
        raise InputError("must be finite (no nan, no inf)")
    return number


_SHOWN = {"rad": ("deg", "°"), "ohm": ("ohm", "Ω"), "degC": ("degC", "°C"), "N*m": ("N*m", "N·m")}


def show(value: float, unit: str) -> str:
    """The value for people: angles in degrees, otherwise the SI unit, four significant digits."""
    wanted, symbol = _SHOWN.get(unit, (unit, unit.replace("*", "·").replace("^2", "²")))
    number = value if wanted == unit else math.degrees(value)
    return f"{number:.4g}{'' if symbol == '°' else ' '}{symbol}".rstrip()
