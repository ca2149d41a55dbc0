# SPDX-License-Identifier: BSD-3-Clause
"""Quantities as text. Expected values are the definitions of the units (analytic)."""

import math
import re

import pytest

from twintrack.errors import InputError
from twintrack.units import USUAL, quantity, show


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("12.6 V", "V", 12.6),
        ("12600mV", "V", 12.6),
        ("180 deg", "rad", math.pi),
        ("1.5 kohm", "ohm", 1500.0),
        ("0.3 ms", "s", 0.0003),
        ("1 N*m/deg", "N*m/rad", 180.0 / math.pi),
        ("60 rpm", "rad/s", 2.0 * math.pi),
        ("20 degC", "degC", 20.0),
        ("293.15 K", "degC", 20.0),
        ("0.018 V*s/rad", "N*m/A", 0.018),
        ("5 %", "", 0.05),
        ("-1e-3 A", "A", -0.001),
        (0.25, "", 0.25),
        (3, "", 3.0),
    ],
)
def test_converts(text, unit, expected):
    assert quantity(text, unit) == pytest.approx(expected, rel=1e-14)


@pytest.mark.parametrize(("given", "unit"), USUAL)
def test_usual_units_are_those_of_the_tables(given, unit):
    import pint

    for number in (1.0, 0.3, -17.25, 1e-9, 12345.678):
        known = pint.UnitRegistry().Quantity(number, given).to(unit).magnitude
        assert quantity(f"{number} {given}", unit) == pytest.approx(known, rel=1e-15)


def test_own_unit_is_exact():
    assert quantity("0.1 V", "V") == 0.1


@pytest.mark.parametrize(
    ("text", "unit", "message"),
    [
        ("12 mm", "V", "wrong dimension: 'mm' does not convert to V"),
        ("12", "V", "the unit is missing"),
        (12.0, "V", "the unit is missing"),
        ("12 florins", "V", "unknown unit 'florins'"),
        ("twelve V", "V", "not a quantity"),
        ("", "V", "not a quantity"),
        (None, "V", "expected a number with a unit"),
        (True, "V", "expected a number with a unit"),
        (True, "", "expected a plain number"),
        ("nan V", "V", "must be finite"),
        ("inf V", "V", "must be finite"),
        (math.nan, "", "must be finite"),
        ("1e999 V", "V", "must be finite"),
        ("5 Hz", "rad/s", "wrong dimension"),
        ("17 deg", "", "wrong dimension"),
        ("17", "rad", "the unit is missing"),
        ("17 %", "rad", "wrong dimension"),
        ("3 N*m", "N*m/rad", "wrong dimension"),
    ],
)
def test_refuses(text, unit, message):
    with pytest.raises(InputError, match="^" + re.escape(message)):
        quantity(text, unit)


def test_refusal_says_what_to_write():
    with pytest.raises(InputError, match=r"such as '13\.5 V'"):
        quantity("12 mm", "V")


def test_shows_for_people():
    assert show(math.pi / 2, "rad") == "90°"
    assert show(0.0025, "kg*m^2") == "0.0025 kg·m²"
    assert show(0.5, "") == "0.5"
