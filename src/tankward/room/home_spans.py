"""The keeper's hours as a record: spans of each day of one week or two in turn, days away, quiet hours."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

import msgspec

from .time import local

DAY_MIN = 1440

Span = tuple[int, int]  # minutes from midnight; one that ends past midnight ends beyond 1440
Week = tuple[tuple[Span, ...], ...]  # Monday first
NO_WEEK: Week = ((),) * 7


class Unread(msgspec.Struct, frozen=True):
    """A piece of what was written that says no hour, and why."""

    word: str
    why: str


class Hours(msgspec.Struct, frozen=True, kw_only=True):
    """The keeper's hours as they were understood.

    `weeks` holds one week, or two in turn: odd and even weeks of the calendar (ISO 8601), or, with `turn`,
    the week of that Monday first and the other after it.
    """

    said: str
    weeks: tuple[Week, ...]
    turn: date | None = None
    off: tuple[int, ...] = ()  # days of the week away every week, Monday 0
    absent: tuple[tuple[date, date], ...] = ()  # first and last day, both counted
    quiet: Week = NO_WEEK
    unread: tuple[Unread, ...] = ()

    def away(self, day: date) -> bool:
        """Whether the keeper said to be away that whole day."""
        return day.weekday() in self.off or any(first <= day <= last for first, last in self.absent)

    def spans_on(self, day: date) -> tuple[Span, ...]:
        """When the keeper can be there on a day, quiet hours left out; minutes of that day."""
        if self.away(day):
            return ()
        before = day - timedelta(days=1)
        late = () if self.away(before) else self._of(before)
        there = _of_day(self._of(day), late)
        return _without(there, _of_day(self.quiet[day.weekday()], self.quiet[before.weekday()]))

    def holds(self, at: datetime, zone: str) -> bool:
        """Whether the keeper can be there."""
        there = local(at, zone)
        minute = there.hour * 60 + there.minute
        return any(first <= minute <= last for first, last in self.spans_on(there.date()))

    @property
    def never(self) -> bool:
        """Whether no hour of any week is left."""
        some = (_of_day(self.quiet[d], self.quiet[d - 1]) for d in range(7))
        quiet = list(some)
        return not any(
            _without(_of_day(week[d], week[d - 1]), quiet[d])
            for week in self.weeks
            for d in range(7)
            if d not in self.off
        )

    def _of(self, day: date) -> tuple[Span, ...]:
        return self.weeks[self.which_week(day)][day.weekday()]

    def which_week(self, day: date) -> int:
        """Which of the weeks in turn a day lies in, from 0."""
        if len(self.weeks) == 1:
            return 0
        if self.turn is None:
            return (day.isocalendar().week + 1) % 2
        return (day - self.turn).days // 7 % 2


def _of_day(own: Iterable[Span], before: Iterable[Span]) -> tuple[Span, ...]:
    """The spans that lie in one day: its own up to midnight, and what goes on from the day before."""
    late = [(0, last - DAY_MIN) for _, last in before if last > DAY_MIN]
    return joined([*late, *((first, min(last, DAY_MIN)) for first, last in own)])


def joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Spans in order, those that touch as one."""
    found: list[Span] = []
    for first, last in sorted(spans):
        if found and first <= found[-1][1]:
            found[-1] = found[-1][0], max(found[-1][1], last)
        else:
            found.append((first, last))
    return tuple(found)


def _without(spans: Iterable[Span], quiet: Iterable[Span]) -> tuple[Span, ...]:
    left = list(spans)
    for begin, end in quiet:
        parts = [
            part for first, last in left for part in ((first, min(last, begin)), (max(first, end), last))
        ]
        left = [(first, last) for first, last in parts if first < last]
    return tuple(left)
