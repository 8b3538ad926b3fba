"""Readings: what was measured in the water."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, ClassVar

import msgspec

from tankward.room.questions import Question
from tankward.room.things import Reading

from .base import Entry, as_it_was


class Measured(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that can be measured: what is typed, what is kept, where it can lie."""

    quantity: str
    dimension: str
    says: str
    at_least: float = 0.0
    at_most: float
    unit: str  # in which it is kept
    forms: dict[str, str] = {}  # "NO2" -> formula, where a kit may read as the ion
    of: str = ""  # the element that is kept


MEASURED: dict[str, Measured] = {
    "ammonia": Measured(
        quantity="ammonia_n", dimension="level", says="Total ammonia", at_most=200, unit="mg/L",
        forms={"N": "N", "NH3": "NH3", "NH4": "NH4"}, of="N",
    ),
    "nitrite": Measured(
        quantity="nitrite_n", dimension="level", says="Nitrite", at_most=500, unit="mg/L",
        forms={"N": "N", "NO2": "NO2"}, of="N",
    ),
    "nitrate": Measured(
        quantity="nitrate_n", dimension="level", says="Nitrate", at_most=5000, unit="mg/L",
        forms={"N": "N", "NO3": "NO3"}, of="N",
    ),
    "ph": Measured(quantity="ph", dimension="ph", says="pH", at_most=14, unit=""),
    "temp": Measured(quantity="temp_c", dimension="temperature", says="Temperature", at_most=45, unit="C"),
    "oxygen": Measured(quantity="oxygen", dimension="level", says="Oxygen", at_most=40, unit="mg/L"),
    "kh": Measured(
        quantity="kh", dimension="hardness", says="Carbonate hardness", at_most=2000, unit="mg/L CaCO3"
    ),
    "gh": Measured(
        quantity="gh", dimension="hardness", says="General hardness", at_most=5000, unit="mg/L CaCO3"
    ),
    "conductivity": Measured(
        quantity="conductivity", dimension="conductivity", says="Conductivity", at_most=60_000, unit="uS/cm"
    ),
    "chlorine": Measured(quantity="chlorine", dimension="level", says="Chlorine", at_most=20, unit="mg/L"),
    "salt": Measured(quantity="salt", dimension="level", says="Salt", at_most=40_000, unit="mg/L"),
    "copper": Measured(quantity="copper", dimension="level", says="Copper", at_most=100, unit="mg/L"),
    "phosphate": Measured(
        quantity="phosphate", dimension="level", says="Phosphate", at_most=100,
        unit="mg/L",
    ),
}  # fmt: skip
BY_QUANTITY = {row.quantity: key for key, row in MEASURED.items()}


class ReadingTaken(Entry, frozen=True, kw_only=True, tag="reading"):
    """The water tested."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {1: as_it_was}

    version: int = 2
    values: Annotated[tuple[Reading, ...], Question("What did you read?", "readings", rest=True)]
    where: Annotated[str, Question("In which water?", choices=("tank", "tap"))] = "tank"
