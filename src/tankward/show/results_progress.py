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


class FitRow(msgspec.Struct, frozen=True, kw_only=True):
    """How well what is seen now fits the cause that the course is against."""

    cause: str
    low: float
    value: float
    high: float
    word: str


class ProgressResult(Result, frozen=True, kw_only=True):
    """The verdict: helping, too-early or not-helping."""

    tank: str
    course: str
    verdict: str
    why: str
    day: int
    decidable_on: str
    expected: list[str]
    seen: list[SignRow]
    dead_before: int
    dead_since: int
    worse: bool
    fits: FitRow | None
    source: str
    status: str
