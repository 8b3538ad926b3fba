"""Results about a room: what was written, what there is, the logbook."""

from __future__ import annotations

import msgspec

from .results import NumberResult, Result


class Started(Result, frozen=True, kw_only=True):
    """The web app runs: where it is, and whose data it shows."""

    address: str
    folder: str
    demo: bool


class Written(Result, frozen=True, kw_only=True):
    """An entry was written; of several, one for each tank, the first stands alone too."""

    entry: str
    kind: str
    line: str
    entries: list[str] = []
    lines: list[str] = []
    photos: list[str] = []


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


class FoundLines(Lines, frozen=True, kw_only=True):
    """Entries found; those that were taken back or put right since stand apart."""

    words: str  # as the search was understood
    days: str  # "" where it names none
    taken_back: list[str]
