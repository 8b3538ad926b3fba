"""The keeper's hours as hours after a start: which step can be done when somebody is there."""

from __future__ import annotations

from datetime import datetime, timedelta

from tankward.room.hours import Hours, hours_of
from tankward.room.time import local

QUARTER = timedelta(minutes=15)
WAKING = "quiet 23:00-7:00"  # where nothing was said: no step at night [our own choice]
MOVED_H = 10.0  # a step may be moved by so much at most, else it can't be done [our own choice]
STARTS = 4  # a course may begin within so many days [our own choice]


class Clock:
    """Instants after one start, moved to when the keeper is there."""

    def __init__(self, start: datetime, hours: Hours, zone: str) -> None:
        self.start = start
        self.hours = hours
        self.zone = zone
        self._kept: dict[float, float | None] = {}

    def fit(self, at_h: float) -> float | None:
        """The nearest hour after the start at which somebody is there; None where it lies too far off."""
        if at_h not in self._kept:
            self._kept[at_h] = self._fit(at_h)
        return self._kept[at_h]

    def _fit(self, at_h: float) -> float | None:
        wanted = self.start + timedelta(hours=at_h)
        for n in range(int(MOVED_H * 4) + 1):
            for side in (1, -1):
                at = wanted + side * n * QUARTER
                if at >= self.start and self.hours.holds(at, self.zone):
                    return (at - self.start) / timedelta(hours=1)
        return None


def waking(hours: Hours | None) -> Hours:
    """The keeper's hours; where none were said, any but the night."""
    if hours is not None:
        return hours
    usual = hours_of(WAKING)
    assert usual is not None
    return usual


def starts(hours: Hours, soon: datetime, zone: str, days: int = STARTS) -> tuple[datetime, ...]:
    """When a course may begin: as soon as somebody is there, then at the same time on the days after.

    On a day on which nobody is there at that time, at the first hour of that day.
    """
    found: list[datetime] = []
    for n in range(days):
        at = _first(hours, soon + timedelta(days=n), zone)
        if at is not None and at not in found:
            found.append(at)
    return tuple(found)


def _first(hours: Hours, soon: datetime, zone: str) -> datetime | None:
    """On that day at that time or later; else earlier on the day. None where nobody is there."""
    day = local(soon, zone).date()
    spans = hours.spans_on(day)
    if hours.holds(soon, zone):
        return soon
    there = local(soon, zone)
    minute = there.hour * 60 + there.minute
    later = [s for s, _ in spans if s >= minute]
    if later:
        return soon + timedelta(minutes=min(later) - minute)
    return None
