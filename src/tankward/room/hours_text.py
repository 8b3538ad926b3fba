"""What may be written for the keeper's hours, and the hours written out.

Clauses are parted by ";" or a new line:

    18:00-22:30                                  every day; also 6pm-10pm, after 18:00, until 9:00
    Mon-Fri 18:00-22:00, Sat, Sun 8:00-22:00     days of the week; also weekdays, weekends
    odd weeks Mon 6:00-14:00; even weeks Mon 14:00-22:00        weeks of the calendar, as ISO 8601 counts
    week A from 11 May Mon 6:00-14:00; week B Mon 14:00-22:00   two weeks in turn
    away 12-14 May, away 2026-05-12 to 2026-05-14, away until Sunday, away 10 days from 15 May
    away Thu-Sun                                 the coming ones
    away every Wed, not Wed                      every week
    away Mon-Fri 9:00-17:00                      these hours of every week
    quiet 22:00-7:00                             no steps then, at home or not

A span that ends before it begins goes on past midnight. With hours of named days only, nobody is there on the
others; without any hours, somebody is there whenever nobody is said to be away.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

import msgspec

from .home_spans import DAY_MIN, NO_WEEK, Hours, Span, Unread, Week, joined
from .hours_tokens import ALL_DAYS, SHORT, TOKENS
from .time import MONTHS

WHOLE_WEEK: Week = (((0, DAY_MIN),),) * 7
YEARS = range(1970, 2200)  # of absences
PAST_D = 31  # an absence without its year that ended longer ago is next year's [our own choice]

NO_HOUR = "says no hour and no day"
NO_TIME = "is no span of the day; write it like 18:00-22:30"
NO_DATE = "is not a day of the calendar"
TWO_DAYS = "could mean two days; write it like 12 May or 2026-05-12"
DAYS_OR_HOURS = "could be days or hours; write 12-14 May or 12:00-14:00"
NO_DATE_QUIET = "names a date; quiet hours are those of every week"
NO_YEAR = "names no year"
HALF = "has no other end; write from when until when"
WHOLE = "is dated, and away on a date takes the whole day; leave out its hours"
WHICH = "does not say in which of the two weeks; begin it with odd weeks, even weeks or every week"
TWO_WAYS = (
    "counts the weeks in another way than the rest; use either odd and even weeks, or week A and week B"
)
NO_START = "does not say from when; write it like week A from 11 May"

BARE = re.compile(r"\d+\D+\d+")  # "12-14": days or hours
COUNTS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "ten": 10}
WEEKS = {"odd": 0, "even": 1, "a": 0, "b": 1}
MODES = ("away", "never", "quiet")
STARTERS = (*WEEKS, "both")

Dates = tuple[date, date]


class Group(msgspec.Struct, kw_only=True):
    """Days and spans that belong together, as they are gathered: "Sat, Sun 8:00-22:00"."""

    mode: str = ""  # away, never, quiet; "" at home
    words: list[str] = []
    days: list[int] = []
    spans: list[Span] = []
    dates: list[Dates] = []
    every: bool = False
    length: int = 0  # days
    joins: str = ""  # from, until, to: what the next date ends or begins
    half: bool = False  # "from" without an end so far


class Clause(msgspec.Struct, kw_only=True):
    """One clause: which weeks it holds in, and its groups."""

    text: str
    week: str = ""  # odd, even, a, b, both
    starts: date | None = None
    groups: list[Group] = []


class Reading(msgspec.Struct, kw_only=True):
    """What is gathered over all clauses."""

    said_on: date | None
    here: list[tuple[str, Group]] = []  # week, group
    off: list[int] = []
    absent: list[Dates] = []
    quiet: list[Group] = []
    turn: date | None = None
    unread: list[Unread] = []

    def fault(self, word: str, why: str) -> None:
        self.unread.append(Unread(word.strip(), why))


def read_hours(text: str, said_on: date | None) -> tuple[Hours | None, tuple[Unread, ...]]:
    """The hours, read as if written on that day, None where nothing says when; and what could not be read."""
    reading = Reading(said_on=said_on)
    plain = re.sub(r"[–—−]", "-", text.lower())
    clauses = [_clause(c.strip(), reading) for c in re.split(r"[;\n]", plain) if c.strip()]
    for clause in clauses:
        _take(clause, clauses, reading)
    weeks = _weeks(reading)
    unread = tuple(reading.unread)
    if not any((reading.here, reading.off, reading.absent, reading.quiet)):
        return None, unread
    found = Hours(
        said=" ".join(text.split()), weeks=weeks, turn=reading.turn if len(weeks) > 1 else None,
        off=tuple(sorted(set(reading.off))), absent=_whole_spans(reading.absent),
        quiet=_of_groups(reading.quiet), unread=unread,
    )  # fmt: skip
    return found, unread


# Reading one clause


def _clause(text: str, reading: Reading) -> Clause:
    clause = Clause(text=text, groups=[Group()])
    for kind, found in _tokens(text):
        if kind == "blank":
            continue
        if kind in STARTERS:
            clause.week = kind
        elif kind in MODES:
            clause.groups.append(Group(mode=kind))
        else:
            _into(clause, kind, found, reading)
    for group in clause.groups:
        if group.half or group.joins:
            reading.fault(" ".join(group.words), HALF)
    return clause


def _tokens(text: str) -> Iterator[tuple[str, re.Match[str]]]:
    at = 0
    while at < len(text):
        kind, found = next((k, m) for k, p in TOKENS if (m := p.match(text, at)) and m.end() > at)
        yield kind, found
        at = found.end()


def _into(clause: Clause, kind: str, found: re.Match[str], reading: Reading) -> None:
    """One token into the group that is open; days after spans begin the next one."""
    group = clause.groups[-1]
    days = _weekdays(kind, found)
    if days and group.spans:
        group = Group(mode=group.mode, every=group.every)
        clause.groups.append(group)
    group.words.append(found[0].strip())
    if days:
        _days(group, kind, found, days, reading)
    elif kind in ("span", "after", "before"):
        span = _span(kind, found)
        group.spans += [span] if span else []
        if span is None or (group.mode == "away" and BARE.fullmatch(found[0])):
            reading.fault(found[0], NO_TIME if span is None else DAYS_OR_HOURS)
    elif kind in ("from", "until", "to"):
        group.joins, group.half = kind, kind == "from"
    elif kind in ("every", "daily"):
        group.every = True
        group.days += ALL_DAYS if kind == "daily" else ()
    elif kind == "length":
        group.length = (int(found[1]) if found[1].isdigit() else COUNTS[found[1]]) * (
            7 if found[2] == "week" else 1
        )
    elif kind in ("clock", "strange", "two_days"):
        reading.fault(found[0], {"clock": HALF, "two_days": TWO_DAYS}.get(kind, NO_HOUR))
    else:
        _date(clause, group, kind, found, reading)


def _weekdays(kind: str, found: re.Match[str]) -> list[int]:
    if kind == "weekday":
        return [SHORT.index(found[1].capitalize())]
    if kind == "weekdays":
        first, last = SHORT.index(found[1].capitalize()), SHORT.index(found[3].capitalize())
        return [(first + n) % 7 for n in range((last - first) % 7 + 1)]
    return {"workdays": [0, 1, 2, 3, 4], "weekend": [5, 6]}.get(kind, [])


def _days(group: Group, kind: str, found: re.Match[str], days: list[int], reading: Reading) -> None:
    plural = kind == "workdays" or any(tail.endswith("days") for tail in found.groups()[1::2])
    if kind == "weekdays":
        group.joins, group.half = "", False
    elif group.mode == "away" and group.joins in ("until", "from") and reading.said_on:
        # "away until Sunday", "away 10 days from Friday": a day of the coming week.
        coming = _coming(days[:1], reading.said_on)[0]
        _dated(group, (coming, coming), reading)
        return
    group.every |= plural
    group.days += days


def _span(kind: str, found: re.Match[str]) -> Span | None:
    parts = found.groups()
    clocks = [_minute(*parts[n : n + 3]) for n in range(0, len(parts), 3)]
    if kind == "span" and not parts[2] and parts[5] and (clocks[0] or 0) < 720:  # "6-10pm": both are
        clocks[0] = _minute(parts[0], parts[1], parts[5])
    first, last = (clocks[0], DAY_MIN) if kind == "after" else (0, clocks[0]) if kind == "before" else clocks
    if first is None or last is None or first in (DAY_MIN, last):
        return None
    return (first, last) if first < last else (first, last + DAY_MIN)


def _minute(hour: str, minute: str | None, half: str | None) -> int | None:
    h, m = int(hour), int(minute or 0)
    if half:
        if not 1 <= h <= 12:
            return None
        h = h % 12 + (12 if half == "pm" else 0)
    return 60 * h + m if m < 60 and 60 * h + m <= DAY_MIN else None


# Dates


def _date(clause: Clause, group: Group, kind: str, found: re.Match[str], reading: Reading) -> None:
    if kind != "iso" and reading.said_on is None:
        group.joins, group.half = "", False
        reading.fault(found[0], NO_YEAR)
        return
    dates = _dates(kind, found, reading.said_on, group)
    if dates is None or dates[0].year not in YEARS:
        group.joins, group.half = "", False
        reading.fault(found[0], NO_DATE)
    elif not group.mode and clause.week == "a" and clause.starts is None:
        group.joins, group.half = "", False
        clause.starts = dates[0]
    else:
        _dated(group, dates, reading)


def _dates(kind: str, found: re.Match[str], said_on: date | None, group: Group) -> Dates | None:
    try:
        if kind == "iso":
            day = date(int(found[1]), int(found[2]), int(found[3]))
            return day, day
        assert said_on is not None
        if kind == "near":
            day = said_on + timedelta(days=found[1] == "tomorrow")
            return day, day
        if kind == "this_week":
            monday = said_on - timedelta(days=said_on.weekday() - 7 * (found[1] == "next"))
            return monday, monday + timedelta(days=6)
        if kind == "days_month":
            first, last, month, year = found[1], found[2], found[3], found[4]
        else:
            month, first, last, year = found[1], found[2], found[3], found[4]
        after = group.dates[-1][0] if group.joins == "to" and group.dates else None
        return _of_month(month, (int(first), int(last or first)), year, said_on, after)
    except ValueError:
        return None


def _of_month(
    month: str, days: tuple[int, int], year: str | None, said_on: date, after: date | None
) -> Dates | None:
    """Days of a month; without a year the first that follow `after`, else those that are not long gone."""
    number = next(i for i, name in enumerate(MONTHS, 1) if name.startswith(month[:3]))
    earliest = after or said_on - timedelta(days=PAST_D)
    for y in (int(year),) if year else range(earliest.year, earliest.year + 5):
        try:
            found = date(y, number, days[0]), date(y, number, days[1])
        except ValueError:
            continue
        if found[0] > found[1]:
            return None
        if year or found[1] >= earliest:
            return found
    return None


def _dated(group: Group, dates: Dates, reading: Reading) -> None:
    joins, group.joins = group.joins, ""
    if joins == "from" and dates[0] != dates[1]:
        group.half = False
    if joins == "to" and group.dates:
        first = group.dates.pop()[0]
        group.half = False
        if dates[1] < first:
            reading.fault(" ".join(group.words), NO_DATE)
            return
        dates = first, dates[1]
    elif joins == "until" and (group.dates or reading.said_on):
        first = group.dates.pop()[0] if group.dates else (reading.said_on or dates[0])
        group.half = False
        dates = first, dates[1]
    if group.length:
        dates, group.half = (dates[0], dates[0] + timedelta(days=group.length - 1)), False
        group.length = 0
    group.dates.append(dates)


def _coming(days: Sequence[int], said_on: date) -> list[date]:
    """The coming days of those names: the first from that day on, each next one after the one before."""
    found: list[date] = []
    at = said_on
    for day in days:
        at += timedelta(days=(day - at.weekday()) % 7)
        found.append(at)
        at += timedelta(days=1)
    return found


# From clauses to hours


def _take(clause: Clause, clauses: list[Clause], reading: Reading) -> None:
    two = {WEEKS[c.week] for c in clauses if c.week in WEEKS}
    lettered = {c.week in "ab" for c in clauses if c.week in WEEKS}
    if len(lettered) > 1 and clause.week in WEEKS:
        reading.fault(clause.text, TWO_WAYS)
    if clause.week == "a":
        _begins(clause, reading)
    for group in clause.groups:
        if group.mode in MODES:
            _gone(group, reading)
        elif group.dates:
            reading.fault(" ".join(group.words), NO_HOUR)
        elif group.spans:
            if two and not clause.week:
                reading.fault(clause.text, WHICH)
            reading.here.append((clause.week, group))
        elif group.days and not group.spans:
            reading.fault(" ".join(group.words), NO_HOUR)
    if not any(g.spans or g.days or g.dates or g.mode for g in clause.groups) and not reading.unread:
        reading.fault(clause.text, NO_HOUR)


def _begins(clause: Clause, reading: Reading) -> None:
    start = clause.starts or reading.said_on
    if start is None:
        reading.fault(clause.text, NO_START)
    else:
        reading.turn = start - timedelta(days=start.weekday())


def _gone(group: Group, reading: Reading) -> None:
    """Away on dates, on the coming weekdays, every week, or for hours; quiet."""
    if group.length and reading.said_on:
        last = reading.said_on + timedelta(days=group.length - 1)
        group.dates.append((reading.said_on, last))
    if group.spans:
        if group.dates:
            reading.fault(" ".join(group.words), NO_DATE_QUIET if group.mode == "quiet" else WHOLE)
        else:
            reading.quiet.append(group)
    elif group.mode == "quiet" or not (group.days or group.dates):
        reading.fault(" ".join((group.mode, *group.words)), NO_HOUR)
    elif reading.said_on is None or group.mode == "never" or group.every:
        reading.off += group.days
    else:
        reading.absent += [(d, d) for d in _coming(group.days, reading.said_on)]
    reading.absent += group.dates if not group.spans else []


def _weeks(reading: Reading) -> tuple[Week, ...]:
    two = any(week in WEEKS for week, _ in reading.here)
    made = [_one_week(reading, n) for n in range(2 if two else 1)]
    if not any(any(week) for week in made):
        return (NO_WEEK if reading.here else WHOLE_WEEK,)
    return tuple(made)


def _one_week(reading: Reading, number: int) -> Week:
    """Days named have their own spans; the others what is said without a day."""
    groups = [g for week, g in reading.here if WEEKS.get(week, number) == number]
    general = [s for g in groups if not g.days for s in g.spans]
    own = {d: [s for g in groups if d in g.days for s in g.spans] for d in ALL_DAYS}
    named = {d for g in groups for d in g.days}
    there = [own[d] if d in named else general for d in ALL_DAYS]
    return tuple(() if d in reading.off else tuple(sorted(set(there[d]))) for d in ALL_DAYS)


def _of_groups(groups: Iterable[Group]) -> Week:
    return tuple(
        tuple(sorted({s for g in groups if not g.days or d in g.days for s in g.spans})) for d in ALL_DAYS
    )


def _whole_spans(absent: Iterable[Dates]) -> tuple[Dates, ...]:
    """Absences in order, those that touch as one."""
    spans = joined((first.toordinal(), last.toordinal() + 1) for first, last in absent)
    return tuple((date.fromordinal(first), date.fromordinal(last - 1)) for first, last in spans)
