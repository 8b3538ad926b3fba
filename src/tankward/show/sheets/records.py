"""What stands on a sheet, said already. The typst file of the same name lays it out and adds nothing."""

from __future__ import annotations

import msgspec


class Foot(msgspec.Struct, frozen=True, kw_only=True):
    """What stands at the foot of every page of every sheet, and marks an invented room."""

    lines: tuple[str, ...]
    words: tuple[str, str]  # "Sheet" 1 "of" 2
    invented: str  # "" or what marks the demo


class SheetRecord(msgspec.Struct, frozen=True, kw_only=True):
    """What every sheet has; each adds its own."""

    title: str
    foot: Foot


class SheetStep(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do, with a box to tick; its hazard stands beside it."""

    time: str
    head: str
    how: str = ""
    hazard: str = ""


class SheetDay(msgspec.Struct, frozen=True, kw_only=True):
    """The steps of one day."""

    heading: str
    steps: tuple[SheetStep, ...]


class Pair(msgspec.Struct, frozen=True, kw_only=True):
    """A word and what belongs to it."""

    what: str
    says: str


class Seen(msgspec.Struct, frozen=True, kw_only=True):
    """If you see this, do this."""

    see: str
    do: tuple[str, ...]
    ring: str


class CourseSheet(SheetRecord, frozen=True, kw_only=True):
    """A course for a sitter."""

    period: str
    ring: tuple[str, ...]  # words before the lines on which a number is written by hand
    about_heading: str
    about: tuple[Pair, ...]
    rules_heading: str
    rules: tuple[str, ...]
    stop_heading: str
    stop: str
    days: tuple[SheetDay, ...]
    put_back_heading: str
    put_back: tuple[Pair, ...]
    see_heading: str
    do_heading: str
    see: tuple[Seen, ...]
    never: str
    keeper_heading: str
    statement: tuple[str, ...]
    cautions: tuple[str, ...]
    vet_heading: str
    vet: tuple[Pair, ...]
