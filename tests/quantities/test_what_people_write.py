"""A table of what people write, what it means, and what is refused in one sentence."""

import pytest

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Taste, amount, is_unknown, number, quantity, ratio, words
from tankward.quantities.strength import strength

MEANS = [
    ("10 US gal", "volume", 37.85411784),
    ("10 us gallons", "volume", 37.85411784),
    ("12 imp gal", "volume", 54.55308),
    ("54L", "volume", 54),
    ("54 litres", "volume", 54),
    ("2 tsp", "volume", 0.00985784),
    ("1 1/2 cups", "volume", 0.35488235),
    ("1½ cups", "volume", 0.35488235),
    ("½ tsp", "volume", 0.00246446),
    ("a level teaspoon".removeprefix("a ").replace("level", "1 level"), "volume", 0.00492892),
    ("20 mL", "volume", 0.02),
    ("20 drops", "volume", 0.001),
    ("2,5 g", "mass", 2500),
    ("2.5 g", "mass", 2500),
    (".5 g", "mass", 500),
    ("0,125 g", "mass", 125),
    ("1 oz", "mass", 28349.523125),
    ("2 lbs", "mass", 907184.74),
    ("300 µg", "mass", 0.3),
    ("24in", "length", 60.96),
    ('24"', "length", 60.96),
    ("2 ft", "length", 60.96),
    ("2'", "length", 60.96),
    ("600 mm", "length", 60),
    ("79F", "temperature", 26.1111),
    ("79 °F", "temperature", 26.1111),
    ("26C", "temperature", 26),
    ("26 degrees C", "temperature", 26),
    ("-2 C", "temperature", -2),
    ("50 mg/kg/day", "fish_dose", 50),
    ("10 g/kg", "feed_strength", 10),
    ("2500 mg/kg", "feed_strength", 2.5),
    ("0.25mg/L", "level", 0.25),
    ("3 g/L", "level", 3000),
    ("2 ppm", "level", 2),
    ("50 ppb", "level", 0.05),
    ("3 g per 40 L", "level", 75),
    ("1 g/10 US gal", "level", 26.4172),
    ("15 µL/L", "volume_level", 15),
    ("5 dKH", "hardness", 89.24),
    ("89 mg/L CaCO3", "hardness", 89),
    ("5 %", "concentration", 50_000),
    ("50 mg/mL", "concentration", 50_000),
    ("3 % w/v", "concentration", 30_000),
    ("48h", "time", 48),
    ("2 days", "time", 48),
    ("90 min", "time", 1.5),
    ("50%", "share", 0.5),
    ("50 %", "share", 0.5),
    ("0.5", "share", 0.5),
    ("7.4", "ph", 7.4),
    ("pH 7.4".removeprefix("pH "), "ph", 7.4),
    ("12", "number", 12),
    ("450 µS/cm", "conductivity", 450),
    ("1 013 hPa".replace(" 0", "0"), "pressure", 1013),
    ("3 ppt", "salinity", 3),
]


@pytest.mark.parametrize(("text", "dimension", "base"), MEANS, ids=[f"{m[0]} {m[1]}" for m in MEANS])
def test_means(text, dimension, base):
    assert quantity(text, dimension).value == pytest.approx(base, rel=1e-5)


REFUSED = [
    ("10 gal", "volume", "could mean two things"),
    ("2 qt", "volume", "could mean two things"),
    ("3 fl oz", "volume", "could mean two things"),
    ("1,500 g", "mass", "could mean two things"),
    ("1.500,5 g", "mass", "more than one decimal mark"),
    ("54", "volume", "has no unit"),
    ("2", "level", "has no unit"),
    ("26", "temperature", "no unit of warmth"),
    ("54 kg", "volume", "is a mass, not a volume"),
    ("54 furlongs", "length", "not known here"),
    ("two litres", "volume", "is not a number"),
    ("", "volume", "is not a number"),
    ("1/0 L", "volume", "divides by nothing"),
    ("7.4 mg", "ph", "takes no unit"),
    ("5%", "level", "is a share, not a level"),
    ("3 g per 0 L", "level", "no water at all"),
    ("3 g per 10 gal", "level", "could mean two things"),
    ("1e5 L", "volume", "not known here"),
    ("1-1/2 cups", "volume", "could mean two things"),
]


@pytest.mark.parametrize(("text", "dimension", "says"), REFUSED, ids=[f"{r[0]} {r[1]}" for r in REFUSED])
def test_is_refused_in_one_sentence(text, dimension, says):
    with pytest.raises(BadInput) as fault:
        quantity(text, dimension, "thing")
    assert says in str(fault.value)
    assert str(fault.value).startswith(f'thing: "{text}"')
    assert "\n" not in str(fault.value)


@pytest.mark.parametrize(("gallon", "litres"), [("US", 37.8541), ("imp", 45.4609)])
def test_a_keeper_says_once_which_gallon(gallon, litres):
    assert quantity("10 gal", "volume", taste=Taste(gallon=gallon)).value == pytest.approx(litres, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "dimension", "low", "high"),
    [
        ("44 to 49 L", "volume", 44, 49),
        ("44-49 L", "volume", 44, 49),
        ("44 L to 49 L", "volume", 44, 49),
        ("about 40", "number", 34, 46),
        ("~40 L", "volume", 34, 46),
        ("23-25C", "temperature", 23, 25),
        ("about 26C", "temperature", 25, 27),
        ("about 7.4", "ph", 7.1, 7.7),
        ("~ -2 C", "temperature", -3, -1),
        ("1/2-1 L", "volume", 0.5, 1),
        ("1/2 - 3/4 L", "volume", 0.5, 0.75),
    ],
)
def test_a_range_keeps_its_ends(text, dimension, low, high):
    found = quantity(text, dimension)
    assert (found.low, found.high) == (pytest.approx(low), pytest.approx(high))
    assert found.low <= found.value <= found.high


def test_basis_is_kept():
    found = quantity("0.5 mg/L as N", "level")
    assert (found.value, found.basis) == (0.5, "N")


@pytest.mark.parametrize("text", ["dont-know", "don't know", "Don’t know", "unknown", "?"])
def test_not_known(text):
    assert is_unknown(text)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("1 sachet", 1, "sachet"),
        ("2 tablets", 2, "tablet"),
        ("½ tablet", 0.5, "tablet"),
        ("5 mL", 0.005, "L"),
    ],
)
def test_amounts(text, value, unit):
    assert amount(text) == (pytest.approx(value), unit)


@pytest.mark.parametrize(
    ("text", "amount_", "unit", "per", "per_unit"),
    [
        ("1 sachet per 40 L", 1, "sachet", 40, "L"),
        ("1 sachet per 10 US gal", 1, "sachet", 37.85411784, "L"),
        ("5 mL per 40 L", 0.005, "L", 40, "L"),
        ("200 mg per sachet", 200, "mg", 1, "sachet"),
        ("2 tablets to 100 L", 2, "tablet", 100, "L"),
    ],
)
def test_so_much_per_so_much(text, amount_, unit, per, per_unit):
    found = ratio(text)
    assert (found.amount, found.unit) == (pytest.approx(amount_), unit)
    assert (found.per, found.per_unit) == (pytest.approx(per), per_unit)


@pytest.mark.parametrize("text", ["1 sachet", "per 40 L", "1 sachet per 0 L", "0 g per 40 L"])
def test_half_a_rule_is_refused(text):
    with pytest.raises(BadInput):
        ratio(text)


@pytest.mark.parametrize(
    ("text", "active_mg", "unit"),
    [
        ("200 mg/sachet", 200, "sachet"),
        ("200 mg per sachet", 200, "sachet"),
        ("2 g per 100 mL", 20_000, "L"),
        ("5 mg/mL", 5000, "L"),
        ("37 %", 0.37, "mg"),
        ("1 g/g", 1, "mg"),
    ],
)
def test_strengths(text, active_mg, unit):
    found = strength(text)
    assert (found.active_mg, found.unit) == (pytest.approx(active_mg), unit)
    assert found.product(found.active_mg) == pytest.approx(1)


@pytest.mark.parametrize("text", ["120 %", "0 %", "5 mL per L", "strong"])
def test_a_strength_that_is_none(text):
    with pytest.raises(BadInput):
        strength(text)


def test_lists_are_parted_by_commas_and_semicolons():
    assert words("thin; pale droppings, hollow ;") == ["thin", "pale droppings", "hollow"]


def test_minus_signs_and_thin_blanks():
    assert number("−2") == -2
    assert quantity("20 L", "volume").value == 20
