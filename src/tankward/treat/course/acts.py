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


def from_now(acts: Iterable[tuple[datetime, AnyAct]], now: datetime) -> list[tuple[datetime, AnyAct]]:
    """Acts as what comes after now: one of this very minute is done in the next, as nothing was done yet."""
    soon = now + timedelta(minutes=1)
    return [(max(at, soon), act) for at, act in acts]
