"""A course and the keeper's hours: when it starts, which steps fall outside, and what is said of them.

A course starts within the hours, at the start that leaves the fewest steps outside them. What the medicine
needs at another hour is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from tankward.quantities.faults import Reason
from tankward.room.hours import Hours, next_within
from tankward.room.time import local

from .records import Course, CourseStep

MINUTES_A_DAY = 1440
ANY_HOUR = ("look", "decide", "watch")  # weeks later on any day near it; minutes after the dose
WAIT_D = 1  # days by which a start may be put off so that the steps fit [our own choice]
QUARTER_MIN = 15  # a course starts on a quarter of an hour
QUARTER = timedelta(minutes=QUARTER_MIN)


def on_quarter(at: datetime) -> datetime:
    """The quarter of an hour that comes next."""
    over = timedelta(minutes=at.minute % QUARTER_MIN, seconds=at.second, microseconds=at.microsecond)
    return at if not over else at - over + QUARTER


def first_within(hours: Hours | None, soon: datetime, zone: str) -> datetime:
    """The first quarter of an hour in which the keeper can be there; as soon as can be where none is said."""
    found = next_within(hours, soon, zone)
    quarter = on_quarter(found)
    return quarter if found != soon and hours and hours.holds(quarter, zone) else found


def outside(hours: Hours, steps: Sequence[CourseStep], zone: str, later: timedelta = timedelta()) -> int:
    """How many steps fall outside, if all came so much later."""
    return sum(not hours.holds(s.at + later, zone) for s in steps if s.kind not in ANY_HOUR)


def better_start(hours: Hours, course: Course, zone: str) -> datetime:
    """The start with the fewest steps outside, the earliest of those; put off by a day at most."""
    tries = [QUARTER * n for n in range(WAIT_D * MINUTES_A_DAY // QUARTER_MIN + 1)]
    fit = [t for t in tries if hours.holds(course.start + t, zone)] or tries[:1]
    return course.start + min(fit, key=lambda t: (outside(hours, course.steps, zone, t), t))


def not_within(hours: Hours, course: Course, zone: str) -> Reason | None:
    """What comes outside the keeper's hours, and why it can't come at another; None where nothing does."""
    at = dict.fromkeys(s.at for s in course.steps if s.kind not in ANY_HOUR and not hours.holds(s.at, zone))
    if not at:
        return None
    named = [f"{local(a, zone):%a} {local(a, zone).day} {local(a, zone):%B at %H:%M}" for a in at]
    many = f"{', '.join(named[:3])}{f' and {len(named) - 3} more' if len(named) > 3 else ''}"
    return Reason(
        kind="outside-hours",
        because=f"Outside your hours ({hours.said}): {many}. It stands, or comes again, by the clock: at "
        "another hour it would act too long or too short",
        would_change="ask somebody to do these, or start it at another time",
    )
