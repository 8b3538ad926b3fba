"""A plan as it leaves: each course with its steps, chances, what it is best at and what it gives up."""

from __future__ import annotations

import msgspec

from .results import RefusedBecause, Result
from .results_course import CourseStepRow


class PlanLineRow(msgspec.Struct, frozen=True, kw_only=True):
    """A line that must hold, and the chance that it is passed; `most` is borne."""

    what: str
    about: str
    who: str
    line: float
    unit: str
    low: float
    value: float
    high: float
    most: float
    says: str
    source: str
    status: str


class ClearRow(msgspec.Struct, frozen=True, kw_only=True):
    """The chance of its goal by the plan's day: gone, brought-low, held."""

    goal: str
    by: str
    low: float
    value: float
    high: float
    source: str
    status: str


class LossRow(msgspec.Struct, frozen=True, kw_only=True):
    """What a simplification would lose; null: nobody can say."""

    kind: str
    says: str
    clear: float | None
    harm: float
    minutes: float
    sound: bool


class PlannedRow(msgspec.Struct, frozen=True, kw_only=True):
    """One course of a plan. `course` holds the inputs of `tankward course` that make it again."""

    letter: str
    name: str
    best: list[str]
    says: str
    option: str
    start: str
    ends: str
    days: float
    minutes_low: float
    minutes_high: float
    cost: float | None
    clear: ClearRow | None
    harm: float
    chances: list[PlanLineRow]
    steps: list[CourseStepRow]
    gives_up: list[str]
    losses: list[LossRow]
    course: dict[str, str]
    risk: str
    work: str
    then: list[str]  # what follows it, for a further cause


class PacketRow(msgspec.Struct, frozen=True, kw_only=True):
    """As a packet says, judged in the same way."""

    supply: str
    says: str
    clear: ClearRow | None
    harm: float | None
    days: float | None
    refused: list[str]


class SearchedRow(msgspec.Struct, frozen=True, kw_only=True):
    """How far was looked."""

    drafted: int
    screened: int
    simulated: int
    refined: int


class PlanResult(Result, frozen=True, kw_only=True):
    """The courses that are each the best of their kind, or why there is none."""

    tank: str
    causes: list[str]
    by: str
    courses: list[PlannedRow]
    packets: list[PacketRow]
    left_alone: ClearRow | None
    alone: str  # the same in words
    nothing: list[RefusedBecause]
    ruled_out: list[str]
    searched: SearchedRow
    looked: str  # the same in words
