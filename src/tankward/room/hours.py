"""When the keeper can be at the tanks. hours_text.py says what may be written; instants come out in UTC."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from tankward.quantities.faults import BadInput

from .home_spans import Hours, Span
from .hours_text import read_hours
from .hours_written import written
from .time import day_of, zone_of

FAR_D = 400  # days looked through for the next hour at home [our own choice]
LIKE = "Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00; away 12-14 May; quiet 22:00-7:00"
ANY_DAY = datetime(2024, 1, 1, tzinfo=UTC)

Window = tuple[datetime, datetime]


def hours_of(text: str, now: datetime | None = None, zone: str = "UTC") -> Hours | None:
    """The hours as written; None where nothing in it says when.

    Parameters
    ----------
    text : str
        As typed.
    now : datetime
        With zone: when it was written, so that "away Thu-Sun" is the coming one. Without it such a day is one
        of every week, and a date without its year stays unread.
    zone : str
        Of the keeper's wall clock.

    Returns
    -------
    Hours or None
        What can't be read is named in `unread`; the rest holds.
    """
    return read_hours(text, day_of(now, zone) if now else None)[0]


def understood(text: str, now: datetime, zone: str, field: str = "hours") -> Hours | None:
    """The same for text that is about to be kept; None for none.

    Raises
    ------
    BadInput
        If a part says no hour, or no hour is left.
    """
    if not text.strip():
        return None
    found, unread = read_hours(text, day_of(now, zone))
    if unread:
        first = unread[0]
        whole = first.word == text.strip().lower()
        part = first.why if whole else f'holds "{first.word}", which {first.why}'
        raise BadInput(field, text, f"{part}. Write it like {LIKE}.")
    if found is None or found.never:
        raise BadInput(field, text, f"leaves no hour of any week. Write it like {LIKE}.")
    return found


def readable(text: str, field: str = "hours") -> str:
    """The text, if every part of it can be read, whenever it was written.

    Raises
    ------
    BadInput
        As `understood`.
    """
    understood(text, ANY_DAY, "UTC", field)
    return text


def dated(text: str, at: datetime, zone: str) -> str:
    """The text with dates in place of what hangs on the day it was written; where nothing does, as it is."""
    found, timeless = hours_of(text, at, zone), hours_of(text)
    if found is None or found.unread or found == timeless:
        return text
    return written(found)


def next_within(hours: Hours | None, at: datetime, zone: str) -> datetime:
    """The first instant from then on at which the keeper can be there; itself where no hours are said."""
    if hours is None or hours.holds(at, zone):
        return at
    first = day_of(at, zone)
    for n in range(FAR_D):
        day = first + timedelta(days=n)
        for begin, _ in hours.spans_on(day):
            if (found := _instant(day, begin, zone)) > at:
                return found
    return at


def windows(hours: Hours, first_day: date, days: int, zone: str) -> list[Window]:
    """The spans of so many days as instants, in order; what goes on past midnight is one."""
    found: list[Window] = []
    for n in range(days):
        day = first_day + timedelta(days=n)
        for begin, end in hours.spans_on(day):
            new = _instant(day, begin, zone), _instant(day, end, zone)
            if found and found[-1][1] == new[0]:
                new = found.pop()[0], new[1]
            found.append(new)
    return found


def _instant(day: date, minute: int, zone: str) -> datetime:
    midnight = datetime(day.year, day.month, day.day, tzinfo=zone_of(zone))
    return (midnight + timedelta(minutes=minute)).astimezone(UTC)


__all__ = ["Hours", "Span", "Window", "dated", "hours_of", "next_within", "readable", "understood", "windows"]
