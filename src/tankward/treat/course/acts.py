"""What a course will do to the tank's water, for the forecast."""

from __future__ import annotations

from datetime import datetime

from tankward.room.acts import AnyAct, LookAgain

from .records import Course


def planned_acts(course: Course) -> list[tuple[datetime, AnyAct]]:
    """Acts of the course at their times; a tub of its own does nothing to the tank.

    Looks change nothing and are left out.
    """
    if course.place == "tub":
        return []
    return [(step.at, step.act) for step in course.steps if not isinstance(step.act, LookAgain)]
