"""What a course will do to the tank's water, and to the tub beside it, for the forecast."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from tankward.room.acts import AnyAct, LookAgain

from .records import Course


def planned_acts(course: Course) -> list[tuple[datetime, AnyAct]]:
    """Acts of the course in the tank at their times; what is done in a tub does nothing to the tank.

    Looks change nothing and are left out.
    """
    return [(s.at, s.act) for s in course.steps if not s.tub and not isinstance(s.act, LookAgain)]


def tub_acts(course: Course) -> list[tuple[datetime, AnyAct]]:
    """Acts of the course in the tub beside the tank."""
    return [(s.at, s.act) for s in course.steps if s.tub and not isinstance(s.act, LookAgain)]


def asked_by(course: Course) -> tuple[object, ...]:
    """By what an answer about a course is kept: all that its tank and its tub meet, for whom, against what.

    Two courses that differ in one change or siphoning are two questions.
    """
    return (
        course.key, course.tank, course.place, course.supply, course.remedy, course.causes, course.start,
        course.ends, repr([(s.at, s.act, s.tub) for s in course.steps]), repr(course.limits),
    )  # fmt: skip


def from_now(acts: Iterable[tuple[datetime, AnyAct]], now: datetime) -> list[tuple[datetime, AnyAct]]:
    """Acts as what comes after now: one of this very minute is done in the next, as nothing was done yet."""
    soon = now + timedelta(minutes=1)
    return [(max(at, soon), act) for at, act in acts]
