"""One field: what a keeper writes into its value, and back. Forms, commands and the text form share this."""

from __future__ import annotations

import re
import types
import typing
from fractions import Fraction
from typing import Any

import msgspec

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate, Taste, is_unknown, quantity
from tankward.quantities.units import BASE, EXACT

from . import lists
from .hours import readable
from .names import Names
from .numerals import plain
from .questions import Field

TEXT_LENGTH = 200
NAME_LENGTH = 60
NOTE_LENGTH = 4000
YES = {
    "yes": True,
    "y": True,
    "true": True,
    "on": True,
    "no": False,
    "n": False,
    "false": False,
    "off": False,
}


class Reader(msgspec.Struct, frozen=True, kw_only=True):
    """What reading needs beside the text: how the keeper measures, and what names mean here."""

    taste: Taste = Taste()
    names: Names = Names()
    exact: bool = False  # our own lines: JSON stands where the short form would lose something


def read(field: Field, text: str, reader: Reader) -> Any:
    """The value that was written for a field.

    Raises
    ------
    BadInput
        Naming the field, what was written and what is accepted.
    """
    text = text.strip()
    if reader.exact and text[:1] in ("{", "[", "=") and field.ask.dimension not in (*TEXTS, "hours"):
        return msgspec.convert(msgspec.json.decode(text.removeprefix("=")), field.type)
    if is_unknown(text) and (field.ask.choices or field.ask.dimension not in TEXTS):
        return _unknown(field, text)
    if field.ask.choices:
        return _choice(field, text)
    if field.ask.dimension in TEXTS:
        return _text(field, text, TEXTS[field.ask.dimension])
    if field.ask.dimension == "hours":
        told = _text(field, text, NOTE_LENGTH)
        return told if reader.exact else readable(told, field.key)
    special = lists.READERS.get(field.ask.dimension)
    if special is not None:
        return special(field, text, reader.taste, reader.names)
    if field.ask.dimension == "yes":
        return _yes(field, text)
    if field.ask.dimension in BASE or field.ask.dimension == "temperature_or_off":
        return _quantity(field, text, reader.taste)
    return reader.names.resolve(field.ask.dimension, _text(field, text, TEXT_LENGTH), field.key)


def _unknown(field: Field, text: str) -> Any:
    if field.ask.dimension == "species":
        return ""
    if field.required and not field.ask.needed:
        raise BadInput(field.key, text, "has to be known here.")
    return field.default


def _choice(field: Field, text: str) -> str:
    for choice in field.ask.choices:
        if text.lower().replace("_", " ") == choice.lower().replace("_", " "):
            return choice
    if not text and not field.required:
        return str(field.default)
    plain = ", ".join("dont-know" if c == "not_known" else c.replace("_", " ") for c in field.ask.choices)
    raise BadInput(field.key, text, f"is not one of {plain}.")


TEXTS = {
    "text": TEXT_LENGTH,
    "name": NAME_LENGTH,
    "long_text": NOTE_LENGTH,
    "day": TEXT_LENGTH,
    "piece": NAME_LENGTH,
}
CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff]")


def _text(field: Field, text: str, length: int) -> str:
    if len(text) > length:
        raise BadInput(field.key, text, f"is {len(text):,} characters long. Write at most {length:,}.")
    shown = CONTROL.sub("?", text)
    if shown != text or (field.ask.dimension not in ("long_text", "hours") and "\n" in text):
        raise BadInput(field.key, shown.replace("\n", "?"), "holds signs that can't be seen. Write letters.")
    if field.ask.dimension == "name" and re.search(r"[<>]", text):
        raise BadInput(field.key, text, "can't hold < or >. Write letters.")
    if not text and field.required:
        raise BadInput(field.key, text, "is empty. Write a word.")
    return text


def _yes(field: Field, text: str) -> bool:
    if text.lower() not in YES:
        raise BadInput(field.key, text, "is neither yes nor no.")
    return YES[text.lower()]


def _quantity(field: Field, text: str, taste: Taste) -> Any:
    dimension = field.ask.dimension
    if dimension == "temperature_or_off":
        if text.lower() in ("off", "unplugged"):
            return None
        dimension = "temperature"
    found = quantity(text, dimension, field.key, taste)
    for end in (found.low, found.high):
        _bounded(field, end, text)
    ends = [_in_unit(v, field.unit, dimension) for v in (found.value, found.low, found.high)]
    if takes(field, Estimate):
        return Estimate(*ends)
    return _whole(field, text, ends[0]) if takes(field, int) else ends[0]


def takes(field: Field, kind: type) -> bool:
    """Whether a field may hold a value of that type."""
    hint = field.type
    optional = isinstance(hint, types.UnionType) or typing.get_origin(hint) is typing.Union
    return kind in (typing.get_args(hint) if optional else (hint,))


def _whole(field: Field, text: str, value: float) -> int:
    if value != int(value):
        raise BadInput(field.key, text, "is not a whole number.")
    return int(value)


def _in_unit(value: float, unit: str, dimension: str) -> float:
    """From the base unit of a dimension to the unit that the record keeps."""
    if unit in ("", BASE[dimension]) or dimension == "temperature":
        return value
    return float(Fraction(value) / EXACT[unit].factor)


def _bounded(field: Field, value: float, text: str) -> None:
    dimension = field.ask.dimension.removesuffix("_or_off")
    told = (
        _share_fault(field, value)
        if dimension == "share"
        else _bound_fault(field, _in_unit(value, field.unit, dimension), field.unit or BASE[dimension])
    )
    if told:
        raise BadInput(field.key, text, f"can't be right: {told.strip()}.")


def _bound_fault(field: Field, value: float, unit: str) -> str:
    above, low, high = field.ask.above, field.ask.at_least, field.ask.at_most
    if above is not None and value <= above:
        return f"it must be more than {above:g} {unit}"
    if low is not None and high is None and value < low:
        return f"it must be {low:g} {unit} or more"
    if high is not None and (value > high or (low is not None and value < low)):
        return f"it lies between {low if low is not None else above or 0:g} and {high:g} {unit}"
    return ""


def _share_fault(field: Field, value: float) -> str:
    ask = field.ask
    low, high = ask.at_least or 0.0, 1.0 if ask.at_most is None else ask.at_most
    inside = low <= value <= high and (ask.above is None or value > ask.above)
    return "" if inside else f"it lies between {100 * low:g} and {100 * high:g} %"


def write(field: Field, value: Any) -> str:
    """The value as it is written; `read` gives it back."""
    try:
        short = _short(field, value)
        if short is not None and read(field, short, Reader(exact=True)) == value:
            return short
    except (BadInput, ValueError, ZeroDivisionError, OverflowError):
        pass
    # A number that its unit would round is kept as the record has it.
    bare = "=" if isinstance(value, int | float) else ""
    return bare + msgspec.json.encode(value).decode()


def _short(field: Field, value: Any) -> str | None:
    if value is None:
        return "off" if field.ask.dimension == "temperature_or_off" else "dont-know"
    if value == "" and field.ask.dimension == "species":
        return "dont-know"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if field.ask.dimension in lists.WRITERS:
        return lists.WRITERS[field.ask.dimension](value)
    if isinstance(value, Estimate):
        return _with_unit(field, *(plain(v) for v in _ends(value)))
    if isinstance(value, int | float):
        return _with_unit(field, plain(value))
    return None


def _ends(value: Estimate) -> tuple[float, ...]:
    return (value.low, value.high) if value.ranged else (value.value,)


def _with_unit(field: Field, *numbers: str) -> str:
    unit = field.unit or BASE.get(field.ask.dimension, "")
    return f"{' to '.join(numbers)}{' ' + unit if unit else ''}"
