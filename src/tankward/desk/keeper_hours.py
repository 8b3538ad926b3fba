"""When the keeper can be at the tanks: "18:00-22:30", "Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00; away Wed".

A course starts within these hours, at the start that leaves the fewest steps outside them. What the medicine
needs at another hour is said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.quantities.faults import Reason
from tankward.room.time import WEEKDAYS, local
from tankward.treat.course.records import Course, CourseStep

MINUTES_A_DAY = 1440
SPAN = re.compile(r"(\d{1,2})[:.](\d{2})\s*(?:-|to|–)\s*(\d{1,2})[:.](\d{2})")
DAY = re.compile(r"\b(mon|tue|wed|thu|fri|sat|sun)[a-z]*\b")
DAYS = re.compile(DAY.pattern + r"\s*(?:-|to|–)\s*" + DAY.pattern)
AWAY = re.compile(r"\b(away|not|never|off)\b")
ANY_HOUR = ("look", "decide", "watch")  # weeks later on any day near it; minutes after the dose
WAIT_D = 1  # days by which a start may be put off so that the steps fit [our own choice]
QUARTER = timedelta(minutes=15)

Span = tuple[int, int]  # minutes of the day


class Hours(msgspec.Struct, frozen=True, kw_only=True):
    """Spans of each day of the week, Monday first; none on a day away."""

    said: str
    days: tuple[tuple[Span, ...], ...]

    def holds(self, at: datetime, zone: str) -> bool:
        """Whether the keeper can be there."""
        there = local(at, zone)
        minute = there.hour * 60 + there.minute
        return any(first <= minute <= last for first, last in self.days[there.weekday()])


def hours_of(text: str) -> Hours | None:
    """The hours as written; None where nothing in it says when."""
    general: list[Span] = []
    own: dict[int, list[Span]] = {}
    named: list[int] = []
    away = False
    for part in re.split(r"[;,]|\band\b", text.lower()):
        days, spans = _days(part), _spans(part)
        away = bool(AWAY.search(part)) or (away and not spans)
        if away:
            own |= {d: [] for d in days}
            continue
        # "Sat, Sun 8:00-22:00": days without a span wait for the next one.
        named = [*named, *days]
        if spans and named:
            for day in named:
                own.setdefault(day, []).extend(spans)
            named = []
        else:
            general += spans
    if not general and not own:
        return None
    rest = general or ([(0, MINUTES_A_DAY)] if not any(own.values()) else [])
    return Hours(said=text.strip(), days=tuple(tuple(own.get(day, rest)) for day in range(7)))


def _spans(part: str) -> list[Span]:
    found = []
    for h1, m1, h2, m2 in SPAN.findall(part):
        first, last = int(h1) * 60 + int(m1), int(h2) * 60 + int(m2)
        found += [(first, last)] if first <= last else [(first, MINUTES_A_DAY), (0, last)]
    return [s for s in found if s[1] <= MINUTES_A_DAY]


def _days(part: str) -> list[int]:
    short = [w[:3] for w in WEEKDAYS]
    found = []
    for a, b in DAYS.findall(part):
        first, last = short.index(a), short.index(b)
        found += [(first + n) % 7 for n in range((last - first) % 7 + 1)]
    return found or [short.index(d) for d in DAY.findall(part)]


def first_within(hours: Hours | None, soon: datetime, zone: str) -> datetime:
    """The first quarter of an hour in which the keeper can be there; as soon as can be where none is said."""
    if hours is None or not any(hours.days):
        return soon
    at = soon
    while not hours.holds(at, zone) and at < soon + timedelta(days=8):
        at += QUARTER
    return at


def outside(hours: Hours, steps: Sequence[CourseStep], zone: str, later: timedelta = timedelta()) -> int:
    """How many steps fall outside, if all came so much later."""
    return sum(not hours.holds(s.at + later, zone) for s in steps if s.kind not in ANY_HOUR)


def better_start(hours: Hours, course: Course, zone: str) -> datetime:
    """The start with the fewest steps outside, the earliest of those; put off by a day at most."""
    tries = [QUARTER * n for n in range(WAIT_D * MINUTES_A_DAY // 15 + 1)]
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
