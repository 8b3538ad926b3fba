"""Water: constants, equations with their range and error, facts, traps."""

from __future__ import annotations

import re

from tankward.knowledge.records.base import Figure, Record, Row, Statement


class Constant(Row, frozen=True, kw_only=True):
    """A constant of chemistry or a definition."""

    id: str
    name: str
    value: float
    unit: str
    symbol: str = ""
    notes: str = ""


class Equation(Row, frozen=True, kw_only=True):
    """An equation; `use` marks the one in use."""

    id: str
    quantity: str
    use: bool
    formula: str
    symbols: dict[str, str] = {}
    valid: str = ""
    error: str = ""
    notes: str = ""

    @property
    def valid_c(self) -> tuple[float, float] | None:
        """From the coldest to the warmest for which it holds, where `valid` says so. [°C]"""
        told = re.search(r"(-?\d+)-(\d+) C\b", self.valid)
        return (float(told[1]), float(told[2])) if told else None


class WaterFact(Figure, frozen=True, kw_only=True):
    """A figure about water and what lives in it."""

    id: str
    topic: str
    subject: str
    measure: str
    conditions: str = ""
    notes: str = ""


class WaterContradiction(Row, frozen=True, kw_only=True):
    """Two claims that disagree and which is used."""

    id: str
    one: str
    other: str
    use: str


class Trap(Row, frozen=True, kw_only=True):
    """A mix-up and what it costs."""

    id: str
    what: str
    effect: str


class Water(Record, frozen=True, kw_only=True):
    """Everything about water, of all files of the folder together."""

    constant: tuple[Constant, ...] = ()
    equation: tuple[Equation, ...] = ()
    fact: tuple[WaterFact, ...] = ()
    contradiction: tuple[WaterContradiction, ...] = ()
    gap: tuple[Statement, ...] = ()
    trap: tuple[Trap, ...] = ()
