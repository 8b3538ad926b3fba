"""Results about a room: what was written, what there is, the logbook."""

from __future__ import annotations

import msgspec

from .results import NumberResult, Result


class Written(Result, frozen=True, kw_only=True):
    """An entry was written."""

    entry: str
    kind: str
    line: str


class TankRow(msgspec.Struct, frozen=True, kw_only=True):
    """One tank in a list."""

    id: str
    name: str
    water: NumberResult | None
    lives: list[str]


class TankList(Result, frozen=True, kw_only=True):
    """The tanks of a room."""

    tanks: list[TankRow]


class TankShown(Result, frozen=True, kw_only=True):
    """One tank: its water with the working, who lives there, its logbook."""

    tank: str
    water: NumberResult | None
    lives: list[str]
    log: list[str]


class Lines(Result, frozen=True, kw_only=True):
    """A list of lines: stock, shelf, entries found."""

    rows: list[str]
