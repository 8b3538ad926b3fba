"""What a form asks for one field. It stands beside the field: form, table, export and command follow from it.

number: Annotated[int, Question("How many?", "number", at_least=1)]
"""

from __future__ import annotations

import functools
import typing
from typing import Any

import msgspec

# Endings that name the unit of a field. The key a keeper types has none of them: length_cm is "length".
UNITS_OF_NAMES = {
    "_cm": "cm", "_mm": "mm", "_l": "L", "_ml": "mL", "_g": "g", "_mg": "mg", "_c": "C", "_h": "h",
    "_d": "days", "_min": "min", "_l_per_min": "L/min", "_mg_l": "mg/L", "_mg_per_g": "mg/g", "_per_day": "",
    "_per_min": "",
}  # fmt: skip
WHOLE_NAMES = {"minutes": "min", "hours": "h"}


class Question(msgspec.Struct, frozen=True):
    """What is asked for one field, and what may be answered."""

    says: str
    dimension: str = "text"  # of units.py, or one of fields.READERS
    choices: tuple[str, ...] = ()
    at_least: float | None = None
    at_most: float | None = None
    above: float | None = None
    key: str = ""  # what a keeper types; "" = made of the field's name
    rest: bool = False  # every key that no other field takes belongs here
    hidden: bool = False  # kept, never asked
    needed: bool = False  # asked for although the record has a default


class Field(msgspec.Struct, frozen=True, kw_only=True):
    """One field of a record with its question and its type."""

    name: str
    key: str
    type: Any
    ask: Question
    required: bool
    default: Any = None
    unit: str = ""  # the unit in which the record keeps it


def unit_in(name: str) -> str:
    """The unit that a field's name ends in: glass_mm is in mm."""
    if name in WHOLE_NAMES:
        return WHOLE_NAMES[name]
    for ending in sorted(UNITS_OF_NAMES, key=len, reverse=True):
        if name.endswith(ending):
            return UNITS_OF_NAMES[ending]
    return ""


def key_of(name: str) -> str:
    """The key a keeper types for a field."""
    for ending in sorted(UNITS_OF_NAMES, key=len, reverse=True):
        if name.endswith(ending):
            name = name.removesuffix(ending)
            break
    return name.strip("_").replace("_", "-")


@functools.cache
def fields_of(record: type[msgspec.Struct]) -> dict[str, Field]:
    """The fields of a record that ask something, in order, by the key that is typed."""
    hints = typing.get_type_hints(record, include_extras=True)
    made = (_field(info, hints[info.name]) for info in msgspec.structs.fields(record))
    return {field.key: field for field in made if field is not None}


def _field(info: msgspec.structs.FieldInfo, hint: Any) -> Field | None:
    ask = next((part for part in typing.get_args(hint) if isinstance(part, Question)), None)
    if ask is None:
        return None
    default = info.default if info.default_factory is msgspec.NODEFAULT else info.default_factory()
    return Field(
        name=info.name,
        key=ask.key or key_of(info.name),
        type=typing.get_args(hint)[0],
        ask=ask,
        required=info.required or ask.needed,
        default=None if info.required else default,
        unit=unit_in(info.name),
    )
