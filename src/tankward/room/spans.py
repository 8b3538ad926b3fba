"""Spans of days as people say them when they look for something: "yesterday", "12 May", "last week"."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta

import msgspec

from tankward.quantities.faults import BadInput

from .time import MONTHS, WEEKDAYS, day_of, zone_of

Days = tuple[date, date]  # first and last day, both counted
Reader = Callable[[re.Match[str], date], Days]
EARLIEST = date(1970, 1, 1)
LONG = {"day": 1, "week": 7, "month": 30}
LOOSE = 3  # days on both sides of "two weeks ago" [common practice, no source]
COUNTS = {"a": 1, "an": 1, "two": 2, "three": 3, "four": 4}
BACK = {"today": 0, "tonight": 0, "this": 0, "yesterday": 1, "last night": 1}

COUNT = r"(\d{1,3}|a|an|two|three|four)"
MONTH = "|".join((*MONTHS, "sept", *(m[:3] for m in MONTHS)))
YEAR = r"(?: (\d{4}))?"
PART = r"(?:\s+(?:early\s+)?(?:morning|midday|noon|afternoon|evening|night))?"
LEAD = re.compile(r"(since|from|after|before|until|till|between)\s+", re.IGNORECASE)
JOIN = re.compile(r"\s+(?:to|until|till|and|-|–)\s+", re.IGNORECASE)
TWO_WAYS = re.compile(r"\d{1,2}[/.]\d{1,2}[/.]\d{2,4}(?!\S)")


class Span(msgspec.Struct, frozen=True, kw_only=True):
    """From an instant up to another, and its days in words."""

    start: datetime
    end: datetime  # not counted
    says: str

    def holds(self, at: datetime) -> bool:
        return self.start <= at < self.end


def span_in(text: str, now: datetime, zone: str, field: str = "when") -> tuple[Span | None, str]:
    """The days that a search names, and the words that are left.

    Parameters
    ----------
    text : str
        As typed: "copper last week", "T7 since 12 May".
    now : datetime
        With zone.
    zone : str
        Of the keeper's wall clock.

    Raises
    ------
    BadInput
        For a day that the calendar has not, or one that could be read in two ways.
    """
    said = " ".join(re.sub(r",(?=\s|$)", " ", text).split())
    today = day_of(now, zone)
    for word in re.finditer(r"\S+", said):
        try:
            found = _at(said, word.start(), today)
        except (ValueError, OverflowError):
            raise BadInput(field, said[word.start() :], "is not a day of the calendar.") from None
        if found is not None:
            (first, last), end = found
            left = f"{said[: word.start()]} {said[end:]}"
            return _span(first, last, zone), " ".join(left.split())
        if TWO_WAYS.match(said, word.start()):
            raise BadInput(field, word[0], "could mean two days. Write it like 3 April or 2026-04-03.")
    return None, said


def _span(first: date, last: date, zone: str) -> Span:
    start, end = (
        datetime.combine(day, time(0), zone_of(zone)).astimezone(UTC)
        for day in (first, last + timedelta(days=1))
    )
    return Span(start=start, end=end, says=days_said(first, last))


def days_said(first: date, last: date) -> str:
    """12 May 2026; 4 May to 10 May 2026; until 10 May 2026."""
    if first == last:
        return _said(last)
    return f"until {_said(last)}" if first == EARLIEST else f"{_said(first)} to {_said(last)}"


def _said(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1].capitalize()} {day.year}"


def _at(said: str, at: int, today: date) -> tuple[Days, int] | None:
    """Days named from this place on: alone, from one to another, or open at one end."""
    lead = LEAD.match(said, at)
    found = _days(said, lead.end() if lead else at, today, led=bool(lead))
    if found is None:
        return None
    days, end = found
    word = lead[1].lower() if lead else ""
    join = JOIN.match(said, end)
    second = _days(said, join.end(), today, led=True) if join and word in ("", "from", "between") else None
    if second is not None:
        return _range(days, second[0]), second[1]
    return _open(word, days, today), end


def _range(one: Days, other: Days) -> Days:
    return min(one[0], other[0]), max(one[1], other[1])


def _open(word: str, days: Days, today: date) -> Days:
    first, last = days
    if word in ("since", "from", "after"):
        begins = last + timedelta(days=1) if word == "after" else first
        return begins, max(begins, today)
    if word in ("before", "until", "till"):
        return EARLIEST, first - timedelta(days=1) if word == "before" else last
    return days


def _days(said: str, at: int, today: date, *, led: bool) -> tuple[Days, int] | None:
    """The longest way to read days here."""
    found = [(m, read) for way, read in WAYS if (m := way.match(said, at)) and _taken(m, said, led)]
    if not found:
        return None
    m, read = max(found, key=lambda pair: pair[0].end())
    return read(m, today), m.end()


def _taken(m: re.Match[str], said: str, led: bool) -> bool:
    """A bare month is a word like any other: "may" counts behind "in", with a capital, or alone."""
    if m.re is not BARE_MONTH or m[1] or m[3] or led:
        return True
    return m[0][0].isupper() or m[0] == said


def _count(word: str) -> int:
    return COUNTS.get(word.lower()) or int(word)


def _number(month: str) -> int:
    return next(i for i, name in enumerate(MONTHS, 1) if name.startswith(month[:3].lower()))


def _month_of(day: date) -> Days:
    first = day.replace(day=1)
    return first, (first + timedelta(days=32)).replace(day=1) - timedelta(days=1)


def _near(m: re.Match[str], today: date) -> Days:
    day = today - timedelta(days=BACK.get(m[1].lower(), 2))
    return day, day


def _week(m: re.Match[str], today: date) -> Days:
    monday = today - timedelta(days=today.weekday() + (7 if m[1].lower() == "last" else 0))
    return monday, monday + timedelta(days=6)


def _this_month(m: re.Match[str], today: date) -> Days:
    first = today.replace(day=1)
    return _month_of(first if m[1].lower() == "this" else first - timedelta(days=1))


def _this_year(m: re.Match[str], today: date) -> Days:
    year = today.year - (m[1].lower() == "last")
    return date(year, 1, 1), date(year, 12, 31)


def _past(m: re.Match[str], today: date) -> Days:
    return today - timedelta(days=_count(m[1]) * LONG[m[2].lower()] - 1), today


def _ago(m: re.Match[str], today: date) -> Days:
    unit = m[2].lower()
    loose = timedelta(days=0 if unit == "day" else LOOSE)
    day = today - timedelta(days=_count(m[1]) * LONG[unit])
    return day - loose, day + loose


def _weekday(m: re.Match[str], today: date) -> Days:
    back = (today.weekday() - WEEKDAYS.index(m[2].lower())) % 7
    day = today - timedelta(days=7 if (m[1] or "").lower() == "last" and not back else back)
    return day, day


def _iso(m: re.Match[str], today: date) -> Days:
    if not m[3]:
        return _month_of(date(int(m[1]), int(m[2]), 1))
    day = date(int(m[1]), int(m[2]), int(m[3]))
    return day, day


def _day_month(m: re.Match[str], today: date) -> Days:
    return _dated(int(m[1]), _number(m[2]), m[3], today)


def _month_day(m: re.Match[str], today: date) -> Days:
    return _dated(int(m[2]), _number(m[1]), m[3], today)


def _dated(day: int, month: int, year: str | None, today: date) -> Days:
    """Without a year it is the last such day."""
    found = date(int(year or today.year), month, day)
    if not year and found > today:
        found = date(today.year - 1, month, day)
    return found, found


def _month(m: re.Match[str], today: date) -> Days:
    number = _number(m[2])
    year = int(m[3]) if m[3] else today.year - (number > today.month)
    return _month_of(date(year, number, 1))


def _way(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"{pattern}(?!\S)", re.IGNORECASE)


BARE_MONTH = _way(rf"(in |last |this |during )?({MONTH}){YEAR}")
WAYS: tuple[tuple[re.Pattern[str], Reader], ...] = (
    (_way(rf"(today|tonight|yesterday|last night|(?:the )?day before yesterday){PART}"), _near),
    (_way(r"(this) (?:morning|afternoon|evening)"), _near),
    (_way(r"(this|last) week"), _week),
    (_way(r"(this|last) month"), _this_month),
    (_way(r"(this|last) year"), _this_year),
    (_way(rf"(?:the )?(?:last|past) {COUNT} (day|week|month)s?"), _past),
    (_way(rf"(?:about )?{COUNT} (day|week|month)s? ago"), _ago),
    (_way(rf"(?:(on|last) )?({'|'.join(WEEKDAYS)}){PART}"), _weekday),
    (_way(r"(?:on )?(\d{4})-(\d{2})(?:-(\d{2}))?"), _iso),
    (
        _way(rf"(?:on )?(?:the )?(\d{{1,2}})(?:st|nd|rd|th)?(?: of)? ({MONTH}){YEAR}{PART}"),
        _day_month,
    ),
    (_way(rf"(?:on )?({MONTH}) (\d{{1,2}})(?:st|nd|rd|th)?{YEAR}{PART}"), _month_day),
    (BARE_MONTH, _month),
)
