"""What can be done, as it leaves: open and ruled out. Every number stands beside its source and status."""

from __future__ import annotations

import msgspec

from .results import RefusedBecause, Result


class LevelRow(msgspec.Struct, frozen=True, kw_only=True):
    """How strong it is, as it was published."""

    low: float
    high: float
    unit: str
    basis: str
    shown: str
    source: str
    status: str


class FigureRow(msgspec.Struct, frozen=True, kw_only=True):
    """A figure of a remedy: days, minutes, litres."""

    id: str
    low: float
    high: float
    unit: str
    says: str
    source: str
    status: str


class ReachRow(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of an organism. Shares are of those that die; null: nothing is known."""

    organism: str
    stage: str
    place: str
    share_low: float | None
    share_high: float | None
    level: float | None
    unit: str
    hours: float | None
    source: str
    status: str


class LeftRow(msgspec.Struct, frozen=True, kw_only=True):
    """A likely cause that stays untouched, with its chance."""

    cause: str
    name: str
    low: float
    value: float
    high: float
    source: str
    status: str


class BearRow(msgspec.Struct, frozen=True, kw_only=True):
    """What the level means for one group of animals."""

    who: str
    animal: str
    stage: str
    taken: str
    part: str
    says: str
    words: str
    level: float
    limit: float | None
    unit: str
    because: str
    would_change: str
    source: str
    status: str


class LawRow(msgspec.Struct, frozen=True, kw_only=True):
    """One line of law."""

    region: str
    statement: str
    source: str
    status: str


class EvidenceRow(msgspec.Struct, frozen=True, kw_only=True):
    """What a remedy rests on."""

    kind: str
    words: str
    source: str
    status: str
    where: str


class VisitRow(msgspec.Struct, frozen=True, kw_only=True):
    """A visit to a veterinarian, prepared."""

    says: str
    fish_vet: bool
    bring: list[str]
    until_then: list[str]
    notifiable: list[str]
    status: str


class OpenRow(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is open here."""

    id: str
    kind: str
    name: str
    substance: str
    route: str
    regimen: str
    place: str
    remedy: str
    cause: str
    also_for: list[str]
    fits: str
    level: LevelRow | None
    days: FigureRow | None
    minutes: FigureRow | None
    use: str
    may: str
    law: list[LawRow]
    reaches: list[ReachRow]
    not_reached: list[ReachRow]
    reach: list[str]
    leaves: list[LeftRow]
    bears: list[BearRow]
    left_out: list[str]
    cautions: list[RefusedBecause]
    minds: list[str]  # the same in short, with lower figures of other animals
    evidence: EvidenceRow
    eases: bool
    beside: bool
    jar_trial: bool
    steps: list[str]
    figures: list[FigureRow]
    vet: VisitRow | None
    work: FigureRow | None  # minutes of the keeper's time in all
    shelf: str
    on_tank: str
    you: list[str]
    source: str
    status: str
    here: list[str] = []  # what it did here before, or in another tank of the room


class TurnRow(msgspec.Struct, frozen=True, kw_only=True):
    """One turn of several causes; `option` is empty where nothing open clears them."""

    causes: list[str]
    option: str
    says: str
    before: str


class ClosedRow(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy that is ruled out here."""

    id: str
    kind: str
    name: str
    substance: str
    route: str
    regimen: str
    because: str
    who: list[str]
    would_change: str
    bears: list[BearRow]
    reasons: list[RefusedBecause]


class OptionsResult(Result, frozen=True, kw_only=True):
    """What can be done about one or more causes."""

    causes: list[str]
    region: str
    not_there: list[str]
    open: list[OpenRow]
    ruled_out: list[ClosedRow]
    turns: list[TurnRow]
    carried: list[str]
    people: list[str]
    report: str = ""  # the command that makes the report for a veterinarian
    sorted_by: str
    counted: str = ""  # what a count under the lens asks for
