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
    danger: tuple[str, ...] = ()  # the course was changed by hand into what harms


class SheetStep(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do, with a box to tick; its hazard stands beside it."""

    time: str
    head: str
    how: str = ""
    hazard: str = ""
    wait: str = ""  # why it is not a sitter's; "" where it is


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
    over_heading: str  # when it is over: how long it is looked for, who stays
    over: tuple[str, ...]
    vet_heading: str
    vet: tuple[Pair, ...]


class Line(msgspec.Struct, frozen=True, kw_only=True):
    """One line of a working: what, how, how much, how sure."""

    what: str
    how: str
    says: str
    sure: str = ""


class DayRow(msgspec.Struct, frozen=True, kw_only=True):
    """One act of a table of days, with so many boxes on each."""

    what: str
    boxes: tuple[int, ...]  # -1: a line to write on


class TubSheet(SheetRecord, frozen=True, kw_only=True):
    """A hospital tub, to hang on it."""

    finding: str
    why: str
    about_heading: str
    about: tuple[Pair, ...]
    steps_heading: str
    steps: tuple[str, ...]
    days_heading: str
    days: tuple[str, ...]
    rows: tuple[DayRow, ...]
    rules: tuple[str, ...]
    medicine_heading: str  # "" where none is in it
    medicine: tuple[str, ...]
    bears: tuple[str, ...]
    see_heading: str
    see: tuple[Pair, ...]
    working_heading: str
    working: tuple[Line, ...]
    notes: tuple[str, ...]


class Clean(msgspec.Struct, frozen=True, kw_only=True):
    """One step of cleaning, with the hazard that it raises."""

    head: str
    how: str = ""
    hazard: str = ""
    sure: str = ""  # source and status


class HygieneSheet(SheetRecord, frozen=True, kw_only=True):
    """How nets, hoses and tubs are made clean, each step ticked before the next."""

    finding: str
    why: str
    order_heading: str
    order: tuple[Clean, ...]
    never_heading: str
    never: tuple[str, ...]
    instead_heading: str  # "" where there is only one way
    instead: tuple[Clean, ...]
    round_heading: str
    round: tuple[Clean, ...]
    dead_heading: str
    dead: tuple[Clean, ...]
    working_heading: str
    working: tuple[Line, ...]
    notes: tuple[str, ...]


class Weighed(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to weigh or measure."""

    amount: str
    what: str
    tool: str


class RecipeSheet(SheetRecord, frozen=True, kw_only=True):
    """Medicine in the food, for the kitchen."""

    finding: str
    why: str
    doses: tuple[Pair, ...]  # what the fish get at little, likely and much eaten
    published: str
    apart: str  # drug for the fish and drug in the food
    about_heading: str
    about: tuple[Pair, ...]
    weigh_heading: str
    weigh: tuple[Weighed, ...]
    off: str
    steps_heading: str
    steps: tuple[Clean, ...]
    feed_heading: str
    days: tuple[str, ...]
    rows: tuple[DayRow, ...]
    rules: tuple[str, ...]
    keep_heading: str
    keep: tuple[str, ...]
    water_heading: str
    water: tuple[str, ...]
    care_heading: str
    care: tuple[str, ...]
    statement_heading: str  # "" where none was needed
    statement: tuple[str, ...]
    working_heading: str
    working: tuple[Line, ...]
    notes: tuple[str, ...]


class Card(msgspec.Struct, frozen=True, kw_only=True):
    """The card of one tank."""

    name: str
    water: str
    warmth: str
    who: tuple[str, ...]
    round: str
    never: str  # "" where nothing is marked
    url: str
    qr: str  # SVG
    qr_says: str  # for readers by ear


class CardsSheet(SheetRecord, frozen=True, kw_only=True):
    """Cards to be cut out."""

    cut: str
    cards: tuple[Card, ...]


class CasePart(msgspec.Struct, frozen=True, kw_only=True):
    """One part of a case: rows, or a table with its heads."""

    heading: str
    rows: tuple[Pair, ...]
    heads: tuple[str, ...]
    table: tuple[tuple[str, ...], ...]
    note: str


class CaseSheet(SheetRecord, frozen=True, kw_only=True):
    """A case for a veterinarian."""

    finding: str
    why: str
    parts: tuple[CasePart, ...]
    visit_heading: str
    visit: tuple[Pair, ...]


class SitterRow(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do, with a box on each of its days; `time` where it has one."""

    time: str
    head: str
    soft: str
    boxes: tuple[bool, ...]


class SitterSheet(SheetRecord, frozen=True, kw_only=True):
    """One tank for somebody who knows nothing of fish: one page."""

    period: str
    ring: tuple[str, ...]
    map: str  # SVG of the racks, this tank named
    map_says: str
    rules_heading: str
    rules: tuple[str, ...]
    days: tuple[tuple[str, str], ...]  # Fri, 15
    rows_heading: str
    rows: tuple[SitterRow, ...]
    late: str
    wait_heading: str  # "" where nothing waits
    wait: tuple[Pair, ...]
    bags_heading: str  # "" where nothing is measured beforehand
    bags: tuple[str, ...]
    see_heading: str
    ring_heading: str
    see: tuple[Seen, ...]
