"""What people write, read into numbers in base units. What could mean two things is refused."""

from __future__ import annotations

import functools
import re
from fractions import Fraction as F

import msgspec

from .faults import BadInput
from .units import BASE, EXACT, EXAMPLES, Unit, dimensions_of, plain, unit_of

HALVES = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅕": "1/5",
}
DIGITS = 40  # more than a measure or a double can hold
NUMBER = r"[+-]?(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(?:[.,]\d+)*|[.,]\d+)"
DONT_KNOW = {"dont-know", "don't know", "dont know", "don’t know", "unknown", "?"}
ABOUT = re.compile(r"^(?:about|around|roughly|approx\.?|circa|ca\.?|~|≈)\s*", re.IGNORECASE)


class Estimate(msgspec.Struct, frozen=True):
    """A number as well as it is known: likely, 5th and 95th centile. low == high: exact enough."""

    value: float
    low: float
    high: float

    @classmethod
    def exact(cls, value: float) -> Estimate:
        return cls(value, value, value)

    @property
    def ranged(self) -> bool:
        return self.high > self.low

    def scaled(self, factor: float) -> Estimate:
        return Estimate(self.value * factor, self.low * factor, self.high * factor)


class Taste(msgspec.Struct, frozen=True):
    """What the keeper has said once about units: which gallon, and in what to print."""

    gallon: str = ""  # "US", "imp" or "" (ask)
    temperature: str = "C"
    metric: bool = True


class Quantity(msgspec.Struct, frozen=True):
    """A quantity in base units, with what it was written as."""

    value: float
    low: float
    high: float
    dimension: str
    unit: str  # base unit
    basis: str = ""  # "N", "NH3", "Cu" ... for "0.5 mg/L as N"
    text: str = ""

    @property
    def estimate(self) -> Estimate:
        return Estimate(self.value, self.low, self.high)


class Ratio(msgspec.Struct, frozen=True):
    """So much of something per so much of something else: "1 sachet per 40 L", "2 tsp per 10 US gal"."""

    amount: float
    unit: str  # mg, L, or the name of a piece (sachet, tablet, drop ...)
    per: float
    per_unit: str  # L, g ...


def is_unknown(text: str) -> bool:
    return plain(text) in DONT_KNOW


def _spread(text: str) -> str:
    """Fractions as signs ('1½') into '1 1/2'; unusual blanks and minus signs made plain."""
    text = text.replace("\u00a0", " ").replace("\u202f", " ").replace("−", "-").replace("⁄", "/")
    for sign, plain_text in HALVES.items():
        text = re.sub(rf"(?<=\d)\s*{sign}", f" {plain_text}", text).replace(sign, plain_text)
    return text.strip()


def number(text: str, field: str = "number", given: str = "") -> F:
    """An exact fraction from "1 1/2", "½", "2,5", "0.25"; `given`: all that was typed, for the fault.

    Raises
    ------
    BadInput
        If it isn't a number, or if a comma could be a decimal mark or a thousands mark.
    """
    given, text = given or text, _spread(text)
    if len(text) > DIGITS:
        raise BadInput(field, given, f"has more than {DIGITS} digits. Write fewer.")
    if not re.fullmatch(NUMBER, text):
        raise BadInput(field, given, "is not a number. Write it like 2.5, 2,5 or 1 1/2.")
    if re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+", text) and not re.match(r"[+-]?0,", text):
        raise BadInput(
            field,
            given,
            "could mean two things: is the comma a decimal mark or thousands? "
            "Write it without the comma, or with a point.",
        )
    if len(re.findall(r"[.,]", text)) > 1:
        raise BadInput(field, given, "has more than one decimal mark. Write it like 2.5.")
    whole, _, rest = (
        text.rpartition(" ") if "/" in text and " " in text.split("/")[0].strip() else ("", "", text)
    )
    top, _, bottom = rest.replace(" ", "").replace(",", ".").partition("/")
    if bottom and F(bottom) == 0:
        raise BadInput(field, given, "divides by nothing. Write it like 1/2.")
    part = F(top) / F(bottom) if bottom else F(top)
    sign = -1 if whole.startswith("-") else 1
    return F(whole) + sign * part if whole else part


def _unit(name: str, dimension: str, field: str, given: str, taste: Taste) -> Unit:
    if taste.gallon and (asked := unit_of(name, dimension)) is not None and asked.ask:
        return EXACT[f"{taste.gallon} {asked.name}"]
    unit = unit_of(name, dimension)
    if unit is None:
        other = dimensions_of(name)
        what = (
            f"is a {other[0].replace('_', ' ')}, not a {dimension.replace('_', ' ')}"
            if other
            else f'has the unit "{name}", which is not known here'
        )
        raise BadInput(field, given, f"{what}. Write {EXAMPLES[dimension]}.")
    if unit.ask:
        raise BadInput(field, given, f"could mean two things: write {unit.ask}.")
    return unit


def _temperature(value: F, name: str, field: str, given: str) -> F:
    letter = plain(name).replace("°", "").replace("º", "").replace("degrees", "").replace("deg", "").strip()
    if letter in {"c", "celsius"}:
        return value
    if letter in {"f", "fahrenheit"}:
        return (value - 32) * F(5, 9)
    raise BadInput(field, given, f"has no unit of warmth. Write {EXAMPLES['temperature']}.")


def _level_by_parts(name: str, value: F, field: str, given: str, taste: Taste) -> F | None:
    """ "3 g per 40 L", "0.1 g/10 US gal": mass over a volume, as mg/L."""
    m = re.fullmatch(rf"(\S[^/]*?)\s*(?:\bper\b|/)\s*({NUMBER})?\s*(\S.*)", name)
    if not m or unit_of(m[1], "mass") is None:
        return None
    per = number(m[2], field, given) if m[2] else F(1)
    litres = per * _unit(m[3], "volume", field, given, taste).factor
    if litres <= 0:
        raise BadInput(field, given, f"is per no water at all. Write {EXAMPLES['level']}.")
    return value * _unit(m[1], "mass", field, given, taste).factor / litres


PERCENT_MG_L = F(10_000)  # per cent as weight in volume: 1 % = 10 g/L, the habit of bottles


def _concentration(value: F, name: str, field: str, given: str, taste: Taste) -> F:
    """How strong a bottle is: a level or "5 %". Of its own, since "50 %" for a level would be a share."""
    if name and unit_of(re.sub(r"\s*(w/v|w/w|by weight)$", "", name), "share"):
        return value * PERCENT_MG_L
    try:
        return _in_base(value, name, "level", field, given, taste)
    except BadInput as fault:
        accepted = fault.accepted.replace(EXAMPLES["level"], EXAMPLES["concentration"])
        raise BadInput(field, given, accepted) from None


def _in_base(value: F, name: str, dimension: str, field: str, given: str, taste: Taste) -> F:
    if dimension == "temperature":
        return _temperature(value, name, field, given)
    if dimension in {"number", "ph", "ratio"} or (dimension == "share" and not name):
        if name and not (dimension == "ph" and plain(name) == "ph"):
            raise BadInput(field, given, f"takes no unit. Write {EXAMPLES[dimension]}.")
        return value
    if not name:
        raise BadInput(field, given, f"has no unit. Write {EXAMPLES[dimension]}.")
    if dimension == "concentration":
        return _concentration(value, name, field, given, taste)
    if dimension == "level" and unit_of(name, "level") is None:
        by_parts = _level_by_parts(name, value, field, given, taste)
        if by_parts is not None:
            return by_parts
    return value * _unit(name, dimension, field, given, taste).factor


def _basis(text: str, dimension: str) -> tuple[str, str]:
    if dimension not in {"level", "mass"}:
        return text, ""
    m = re.fullmatch(r"(.+?)\s+as\s+([A-Za-z0-9]+)", text)
    return (m[1], m[2]) if m else (text, "")


RANGE = re.compile(
    rf"({NUMBER})\s*(?P<u1>[^\d]*?)\s*(?:\bto\b|–|—|-|\bbis\b)\s*({NUMBER})\s*(?P<unit>.*)",
    re.IGNORECASE,
)
ROUGH = 0.15  # "about 40": a keeper's estimate, 15 % either way [common practice, no source]
ROUGH_STEP = {
    "temperature": 1.0,
    "ph": 0.3,
}  # where nought is only a mark: so much either way [common practice]
HYPHENED = re.compile(r"\d+-\d+/\d+(?!\S*-)")


def quantity(text: str, dimension: str, field: str = "", taste: Taste | None = None) -> Quantity:
    """What a person wrote, in base units of the dimension; a range keeps its ends.

    Raises
    ------
    BadInput
        If it has no unit where one matters, an unknown or ambiguous one, or isn't a number.
    """
    return _quantity(str(text), dimension, field or dimension, taste or Taste())


@functools.lru_cache(maxsize=4096)  # a long logbook says the same amounts again and again
def _quantity(given: str, dimension: str, field: str, taste: Taste) -> Quantity:
    body, basis = _basis(_spread(given), dimension)
    rough = bool(ABOUT.match(body))
    body = ABOUT.sub("", body)
    if HYPHENED.match(body):
        accepted = "could mean two things: write 1 1/2 for one and a half, or from 1/2 to 1."
        raise BadInput(field, given, accepted)
    if m := RANGE.fullmatch(body):
        low, high = _range(m, dimension, field, given, taste)
        value = (low + high) / 2
    else:
        value = _single(body, dimension, field, given, taste)
        width = ROUGH_STEP.get(dimension, abs(value) * ROUGH) if rough else 0.0
        low, high = value - width, value + width
    return Quantity(value, low, high, dimension, BASE[dimension], basis, given)


def _range(m: re.Match[str], dimension: str, field: str, given: str, taste: Taste) -> tuple[float, float]:
    """Both ends in base units; a unit said once counts for both."""
    name = m["unit"] or m["u1"]
    ends = [
        float(_in_base(number(n, field, given), u, dimension, field, given, taste))
        for n, u in ((m[1], m["u1"] or name), (m[3], name))
    ]
    return min(ends), max(ends)


def _single(body: str, dimension: str, field: str, given: str, taste: Taste) -> float:
    m = re.fullmatch(rf"({NUMBER})\s*(.*)", body)
    if not m:
        what = "a number with a unit" if BASE[dimension] else "a number"
        raise BadInput(field, given, f"is not {what}. Write {EXAMPLES[dimension]}.")
    return float(_in_base(number(m[1], field, given), m[2].strip(), dimension, field, given, taste))


PIECE = re.compile(r"[a-z][a-z -]*", re.IGNORECASE)


def piece_name(name: str) -> str:
    """The singular of a counted thing: "sachets" is "sachet"."""
    word = plain(name)
    return (
        word[:-2]
        if word.endswith("ches")
        else word[:-1]
        if word.endswith("s") and not word.endswith("ss")
        else word
    )


def _amount(value: F, name: str, field: str, given: str, taste: Taste) -> tuple[float, str]:
    for dimension in ("mass", "volume"):
        if unit_of(name, dimension):
            return float(value * _unit(name, dimension, field, given, taste).factor), BASE[dimension]
    if PIECE.fullmatch(name):
        return float(value), piece_name(name)
    raise BadInput(field, given, "is not an amount. Write 1 sachet, 2 tablets, 5 mL or 0.3 g.")


def amount(text: str, field: str = "amount", taste: Taste | None = None) -> tuple[float, str]:
    """A mass [mg], a volume [L] or a count of pieces: (value, "mg" | "L" | piece)."""
    m = re.fullmatch(rf"({NUMBER})\s*(\S.*)", _spread(str(text)))
    if not m:
        raise BadInput(field, text, "is not an amount. Write 1 sachet, 2 tablets, 5 mL or 0.3 g.")
    return _amount(number(m[1], field, str(text)), m[2].strip(), field, str(text), taste or Taste())


def ratio(text: str, field: str = "rule", taste: Taste | None = None) -> Ratio:
    """ "1 sachet per 40 L", "2 tsp/10 US gal", "200 mg per sachet", "5 mg/mL".

    Raises
    ------
    BadInput
        If either side can't be read.
    """
    taste = taste or Taste()
    m = re.fullmatch(
        rf"({NUMBER})\s*(\S[^/]*?)\s*(?:\bper\b|/|\bto\b|\bin\b)\s*({NUMBER})?\s*(\S.*)",
        _spread(str(text)),
    )
    if not m:
        raise BadInput(
            field,
            text,
            "is not so much per so much. Write 1 sachet per 40 L or 5 mL per 10 US gal.",
        )
    value, unit = _amount(number(m[1], field, str(text)), m[2], field, str(text), taste)
    per, per_unit = _amount(number(m[3], field, str(text)) if m[3] else F(1), m[4], field, str(text), taste)
    if value <= 0 or per <= 0:
        raise BadInput(field, text, "must have more than nothing on both sides.")
    return Ratio(value, unit, per, per_unit)


def words(text: str) -> list[str]:
    """A list inside one value: parted by ; or ,"""
    return [part.strip() for part in re.split(r"[;,]", text) if part.strip()]
