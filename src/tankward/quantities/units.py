"""Units: one row each, with an exact fraction as the factor wherever the definition is exact.

Base units stand in `BASE`. A `concentration` is how strong a bottle is: a level or per cent (w/v).

Source: definitions of the international yard and pound (1959), the US gallon (231 cubic inches), the
imperial gallon (4.54609 L); checked against a units library in tests/quantities. German degree of hardness:
17.848 mg/L as CaCO3.
"""

from __future__ import annotations

from fractions import Fraction as F

import msgspec


class Unit(msgspec.Struct, frozen=True):
    """One unit: its name on screen, its dimension, its size in base units, how else people write it."""

    name: str
    dimension: str
    factor: F
    also: tuple[str, ...] = ()
    ask: str = ""  # not empty: ambiguous, and what to write instead


IN_CM = F(254, 100)
US_GAL_L = F(231) * IN_CM**3 / 1000
IMP_GAL_L = F(454609, 100000)
LB_MG = F(45359237, 100)
DH_MG_L = F(17848, 1000)  # water.toml: 1 dH = 10 mg/L CaO = 17.848 mg/L CaCO3

UNITS: tuple[Unit, ...] = (
    Unit("cm", "length", F(1), ("centimetre", "centimetres", "centimeter", "centimeters")),
    Unit(
        "mm",
        "length",
        F(1, 10),
        ("millimetre", "millimetres", "millimeter", "millimeters"),
    ),
    Unit("m", "length", F(100), ("metre", "metres", "meter", "meters")),
    Unit("in", "length", IN_CM, ("inch", "inches", '"', "″", "”")),
    Unit("ft", "length", IN_CM * 12, ("foot", "feet", "′", "'", "’")),
    Unit("L", "volume", F(1), ("l", "litre", "litres", "liter", "liters", "ltr")),
    Unit(
        "mL",
        "volume",
        F(1, 1000),
        ("ml", "millilitre", "millilitres", "milliliter", "milliliters", "cc"),
    ),
    Unit(
        "uL",
        "volume",
        F(1, 10**6),
        ("ul", "µl", "μl", "microlitre", "microlitres", "microliter", "microliters"),
    ),
    Unit(
        "US gal",
        "volume",
        US_GAL_L,
        ("us gallon", "us gallons", "us gals", "gal us", "gallons us", "us-gal"),
    ),
    Unit(
        "imp gal",
        "volume",
        IMP_GAL_L,
        (
            "imperial gallon",
            "imperial gallons",
            "uk gal",
            "uk gallon",
            "uk gallons",
            "imp gallon",
            "imp gallons",
            "imperial gal",
            "imp-gal",
        ),
    ),
    Unit("gal", "volume", F(0), ("gallon", "gallons", "gals"), ask="US gal or imp gal"),
    Unit("US qt", "volume", US_GAL_L / 4, ("us quart", "us quarts")),
    Unit("imp qt", "volume", IMP_GAL_L / 4, ("imperial quart", "uk quart")),
    Unit("qt", "volume", F(0), ("quart", "quarts"), ask="US qt or imp qt"),
    Unit("US pt", "volume", US_GAL_L / 8, ("us pint", "us pints")),
    Unit(
        "imp pt",
        "volume",
        IMP_GAL_L / 8,
        ("imperial pint", "uk pint", "imperial pints"),
    ),
    Unit("pt", "volume", F(0), ("pint", "pints"), ask="US pt or imp pt"),
    Unit(
        "US fl oz",
        "volume",
        US_GAL_L / 128,
        ("us fluid ounce", "us fluid ounces", "us floz"),
    ),
    Unit(
        "imp fl oz",
        "volume",
        IMP_GAL_L / 160,
        ("imperial fluid ounce", "uk fl oz", "uk fluid ounce"),
    ),
    Unit(
        "fl oz",
        "volume",
        F(0),
        ("floz", "fluid ounce", "fluid ounces"),
        ask="US fl oz or imp fl oz",
    ),
    Unit(
        "tsp",
        "volume",
        US_GAL_L / 768,
        (
            "teaspoon",
            "teaspoons",
            "tsps",
            "level teaspoon",
            "level teaspoons",
            "us tsp",
        ),
    ),
    Unit(
        "tbsp",
        "volume",
        US_GAL_L / 256,
        ("tablespoon", "tablespoons", "tbs", "us tbsp"),
    ),
    Unit("cup", "volume", US_GAL_L / 16, ("cups", "us cup", "us cups")),
    Unit(
        "drop", "volume", F(1, 20000), ("drops",)
    ),  # 20 drops to the mL: pharmacy convention, common practice
    Unit("mg", "mass", F(1), ("milligram", "milligrams", "milligramme")),
    Unit("g", "mass", F(1000), ("gram", "grams", "gramme", "grammes", "gm")),
    Unit("kg", "mass", F(10**6), ("kilogram", "kilograms", "kilo", "kilos")),
    Unit("ug", "mass", F(1, 1000), ("µg", "μg", "microgram", "micrograms", "mcg")),
    Unit("oz", "mass", LB_MG / 16, ("ounce", "ounces")),
    Unit("lb", "mass", LB_MG, ("lbs", "pound", "pounds")),
    Unit("gr", "mass", F(6479891, 100000), ("grain", "grains")),
    Unit("h", "time", F(1), ("hour", "hours", "hr", "hrs")),
    Unit("min", "time", F(1, 60), ("minute", "minutes", "mins")),
    Unit("s", "time", F(1, 3600), ("second", "seconds", "sec", "secs")),
    Unit("days", "time", F(24), ("d", "day")),
    Unit("weeks", "time", F(168), ("week", "wk", "wks")),
    Unit("months", "time", F(730), ("month",)),
    Unit("mg/L", "level", F(1), ("ppm", "mg per l", "ug/ml", "µg/ml", "g/m3")),
    Unit("ug/L", "level", F(1, 1000), ("µg/l", "μg/l", "ppb")),
    Unit("g/L", "level", F(1000), ("mg/ml",)),
    Unit("uL/L", "volume_level", F(1), ("µl/l", "μl/l", "ml/m3")),
    Unit("mL/L", "volume_level", F(1000), ()),
    Unit(
        "mg/L CaCO3",
        "hardness",
        F(1),
        ("mg/l as caco3", "ppm caco3", "mg/l caco3", "ppm as caco3"),
    ),
    Unit("dKH", "hardness", DH_MG_L, ("kh", "°kh", "dkh", "degrees kh")),
    Unit("dGH", "hardness", DH_MG_L, ("gh", "°gh", "dgh", "dh", "°dh", "degrees gh")),
    Unit("meq/L", "hardness", F(500435, 10000), ("meq", "mval/l")),
    Unit("uS/cm", "conductivity", F(1), ("µs/cm", "μs/cm", "us", "µs", "microsiemens")),
    Unit("mS/cm", "conductivity", F(1000), ("ms",)),
    Unit(
        "mg/kg/day",
        "fish_dose",
        F(1),
        ("mg/kg/d", "mg/kg per day", "mg per kg per day", "mg/kg bw/day"),
    ),
    Unit("mg/g", "feed_strength", F(1), ("g/kg", "g/kg feed", "g/kg food", "mg/g food")),
    Unit("mg/kg", "feed_strength", F(1, 1000), ("mg/kg feed", "mg/kg food")),
    Unit("g/kg", "salinity", F(1), ("ppt", "psu", "g/kg salt")),
    Unit("L/h", "flow", F(1), ("l/hour", "lph", "l per hour", "l/hr")),
    Unit("L/min", "flow", F(60), ("l/minute", "lpm", "l per minute")),
    Unit("hPa", "pressure", F(1), ("mbar", "millibar")),
    Unit("kPa", "pressure", F(10), ()),
    Unit("%", "share", F(1, 100), ("percent", "per cent", "pct")),
)

BASE = {
    "length": "cm",
    "volume": "L",
    "mass": "mg",
    "time": "h",
    "temperature": "C",
    "level": "mg/L",
    "concentration": "mg/L",
    "volume_level": "uL/L",
    "hardness": "mg/L CaCO3",
    "conductivity": "uS/cm",
    "fish_dose": "mg/kg/day",
    "feed_strength": "mg/g",
    "flow": "L/h",
    "pressure": "hPa",
    "salinity": "g/kg",
    "share": "",
    "ph": "",
    "number": "",
    "ratio": "",
}

EXAMPLES = {
    "length": "60 cm or 24 in",
    "volume": "54 L, 14 US gal or 12 imp gal",
    "mass": "2.5 g, 300 mg or 1 oz",
    "time": "48 h or 2 days",
    "temperature": "26C or 79F",
    "level": "2 mg/L or 3 g/L",
    "concentration": "5% or 50 g/L",
    "volume_level": "15 uL/L",
    "hardness": "90 mg/L CaCO3 or 5 dKH",
    "conductivity": "450 uS/cm",
    "fish_dose": "50 mg/kg/day",
    "feed_strength": "10 mg/g or 10 g/kg",
    "flow": "4 L/min",
    "pressure": "1013 hPa",
    "salinity": "3 g/kg or 3 ppt",
    "share": "50% or 0.5",
    "ph": "7.4",
    "number": "12",
    "ratio": "10",
}


def plain(name: str) -> str:
    """A unit as it is looked up: lower case, single blanks, no stop at the end."""
    return " ".join(name.replace("_", " ").lower().split()).rstrip(".").replace(" / ", "/")


def _index() -> dict[str, dict[str, Unit]]:
    table: dict[str, dict[str, Unit]] = {}
    for unit in UNITS:
        names = table.setdefault(unit.dimension, {})
        for name in (unit.name, *unit.also):
            names[plain(name)] = unit
    return table


INDEX = _index()
EXACT = {unit.name: unit for unit in UNITS}


def unit_of(name: str, dimension: str) -> Unit | None:
    """The unit written so in that dimension, or None."""
    return INDEX.get(dimension, {}).get(plain(name))


def dimensions_of(name: str) -> list[str]:
    """The dimensions in which a word is a unit."""
    return [d for d, names in INDEX.items() if plain(name) in names]
