"""How a course is doing, as it leaves: JSON and terminal."""

from __future__ import annotations

import msgspec

from .results import Result


class SignRow(msgspec.Struct, frozen=True, kw_only=True):
    """A sign counted before the course and since. `expected_*`: how many, if nothing had changed."""

    sign: str
    before: int
    before_of: int
    since: int | None
    since_of: int | None
    expected_low: int | None
    expected_high: int | None
    chance_fewer: float | None
    says: str
    source: str = "none"
    status: str = "computed"


class FitRow(msgspec.Struct, frozen=True, kw_only=True):
    """How well what is seen now fits the cause that the course is against."""

    cause: str
    low: float
    value: float
    high: float
    word: str
    source: str = "none"
    status: str = "computed"


class CountRow(msgspec.Struct, frozen=True, kw_only=True):
    """Counted in the logbook. `day`: of the course, 1 on the day it began; the dead before it and since."""

    day: int
    dead_before: int
    dead_since: int
    source: str = "none"
    status: str = "computed"


class ProgressResult(Result, frozen=True, kw_only=True):
    """The verdict: helping, too-early or not-helping. `source`: of how fast the illness shows."""

    tank: str
    course: str
    verdict: str
    why: str
    decidable_on: str
    expected: list[str]
    seen: list[SignRow]
    counted: CountRow
    worse: bool
    fits: FitRow | None
    source: str
    status: str
