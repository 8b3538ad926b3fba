"""Every factor against a general units library, or by its definition where that library does not know it."""

import pint
import pytest

from tankward.quantities.units import UNITS

UREG = pint.UnitRegistry()
BASE_IN_PINT = {
    "length": "centimeter",
    "volume": "liter",
    "mass": "milligram",
    "time": "hour",
    "level": "milligram/liter",
    "volume_level": "microliter/liter",
    "conductivity": "microsiemens/centimeter",
    "flow": "liter/hour",
    "pressure": "hectopascal",
    "fish_dose": "milligram/kilogram/day",
    "feed_strength": "milligram/gram",
    "salinity": "gram/kilogram",
    "share": "dimensionless",
}
IN_PINT = {
    "cm": "centimeter",
    "mm": "millimeter",
    "m": "meter",
    "in": "inch",
    "ft": "foot",
    "L": "liter",
    "mL": "milliliter",
    "uL": "microliter",
    "US gal": "gallon",
    "imp gal": "imperial_gallon",
    "US qt": "quart",
    "imp qt": "imperial_quart",
    "US pt": "pint",
    "imp pt": "imperial_pint",
    "US fl oz": "fluid_ounce",
    "imp fl oz": "imperial_fluid_ounce",
    "tsp": "teaspoon",
    "tbsp": "tablespoon",
    "cup": "cup",
    "mg": "milligram",
    "g": "gram",
    "kg": "kilogram",
    "ug": "microgram",
    "oz": "ounce",
    "lb": "pound",
    "gr": "grain",
    "h": "hour",
    "min": "minute",
    "s": "second",
    "days": "day",
    "weeks": "week",
    "mg/L": "milligram/liter",
    "ug/L": "microgram/liter",
    "g/L": "gram/liter",
    "uL/L": "microliter/liter",
    "mL/L": "milliliter/liter",
    "uS/cm": "microsiemens/centimeter",
    "mS/cm": "millisiemens/centimeter",
    "mg/kg/day": "milligram/kilogram/day",
    "mg/g": "milligram/gram",
    "mg/kg": "milligram/kilogram",
    "g/kg": "gram/kilogram",
    "L/h": "liter/hour",
    "L/min": "liter/minute",
    "hPa": "hectopascal",
    "kPa": "kilopascal",
    "%": "percent",
}
# By definition: 20 drops to the mL (pharmacy); a month of 730 h is a twelfth of 365 days; 1 dH = 10 mg/L CaO;
# 1 meq/L of CaCO3 is half its molar mass, 100.087 g/mol.
BY_DEFINITION = {
    "drop": 1 / 20_000,
    "months": 365 * 24 / 12,
    "mg/L CaCO3": 1.0,
    "dKH": 17.848,
    "dGH": 17.848,
    "meq/L": 100.087 / 2,
}
ASKED = {"gal", "qt", "pt", "fl oz"}


@pytest.mark.parametrize("unit", [u for u in UNITS if u.name in IN_PINT], ids=lambda u: u.name)
def test_factor(unit):
    theirs = UREG.Quantity(1, IN_PINT[unit.name]).to(BASE_IN_PINT[unit.dimension]).magnitude
    assert float(unit.factor) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("unit", [u for u in UNITS if u.name in BY_DEFINITION], ids=lambda u: u.name)
def test_factor_by_definition(unit):
    assert float(unit.factor) == pytest.approx(BY_DEFINITION[unit.name], rel=1e-9)


def test_no_unit_is_left_unchecked():
    assert {u.name for u in UNITS} == IN_PINT.keys() | BY_DEFINITION.keys() | ASKED


def test_ambiguous_units_have_no_factor_and_say_what_to_write():
    for unit in UNITS:
        assert bool(unit.ask) == (unit.name in ASKED)
        assert bool(unit.factor) != bool(unit.ask)


def test_no_spelling_means_two_things_in_one_dimension():
    seen = {}
    for unit in UNITS:
        for name in {unit.name.lower(), *(a.lower() for a in unit.also)}:
            assert seen.setdefault((unit.dimension, name), unit.name) == unit.name
