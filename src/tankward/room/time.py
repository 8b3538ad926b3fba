"""When something happened: words into instants, wall clocks into instants and back.

Instants are UTC. The model adds hours to instants; a keeper's "every evening at seven" adds days to a wall
clock.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import msgspec

from tankward.quantities.faults import BadInput

# What parts of a day are taken as [common practice, no source]; the moment says so wherever one was used.
PARTS = {
    "early morning": time(6), "morning": time(8), "midday": time(12), "noon": time(12), "lunchtime": time(12),
    "afternoon": time(15), "evening": time(19), "night": time(22), "midnight": time(0),
}  # fmt: skip
DAYTIME = time(12)  # a day without a time
LEAD = timedelta(minutes=10)  # two clocks of one household may differ by so much [common practice, no source]

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
    "november", "december",
)  # fmt: skip
STEP = {"minute": 1, "min": 1, "hour": 60, "h": 60, "day": 1440, "week": 7 * 1440}
ACCEPTED = "is not a time. Write now, today 18:30, yesterday evening, 2 days ago or 2026-05-14 18:30."
AGO = re.compile(
    r"(?:about |around )?(half an|an?|\d+(?:[.,]\d+)?) ?(minute|min|hour|h|day|week)s? (ago|from now)"
)
IN = re.compile(r"in (half an|an?|\d+(?:[.,]\d+)?) ?(minute|min|hour|h|day|week)s?")
CLOCK = re.compile(r"(\d{1,2})(?:[:h](\d{2})(?::(\d{2}(?:\.\d{1,6})?))?)? ?(am|pm)?")


class Moment(msgspec.Struct, frozen=True, kw_only=True):
    """An instant as it was told. `rough`: the clock time was not said; `says` tells what was taken."""

    at: datetime
    rough: bool = False
    says: str = ""


def zone_of(name: str) -> ZoneInfo:
    """The zone of that name.

    Raises
    ------
    BadInput
        If there is none.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadInput("zone", name, "is not a time zone. Write it like Europe/Berlin or UTC.") from None


def local(at: datetime, zone: str) -> datetime:
    """An instant on the wall clock of a zone."""
    return at.astimezone(zone_of(zone))


def day_of(at: datetime, zone: str) -> date:
    """The keeper's day in which an instant lies."""
    return local(at, zone).date()


def add_days(at: datetime, days: int, zone: str) -> datetime:
    """The same wall clock so many days on: across a clock change that is not 24 h a day."""
    return (local(at, zone) + timedelta(days=days)).astimezone(UTC)


def add_hours(at: datetime, hours: float) -> datetime:
    """So many true hours on."""
    return at.astimezone(UTC) + timedelta(hours=hours)


def hours_between(first: datetime, second: datetime) -> float:
    """True hours from one instant to another."""
    return (second.astimezone(UTC) - first.astimezone(UTC)) / timedelta(hours=1)


def when(text: str, now: datetime, zone: str, field: str = "when") -> datetime:
    """The instant that a keeper means. See `moment`."""
    return moment(text, now, zone, field).at


def moment(text: str, now: datetime, zone: str, field: str = "when") -> Moment:
    """The instant that a keeper means by "yesterday evening", "today 18:30", "2 days ago" or an ISO time.

    Parameters
    ----------
    text : str
        As typed.
    now : datetime
        With zone.
    zone : str
        Of the keeper's wall clock.

    Raises
    ------
    BadInput
        If it can't be read, could mean two days, or names an hour that the clocks left out.
    """
    try:
        return _moment(" ".join(text.lower().replace(",", " ").split()), text, now, zone, field)
    except OverflowError:
        raise BadInput(field, text, "lies outside the calendar.") from None


def _moment(said: str, text: str, now: datetime, zone: str, field: str) -> Moment:
    here = local(now, zone)
    if said in {"", "now", "just now"}:
        return Moment(at=now.astimezone(UTC))
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}t.*", said):
        return iso(text.strip(), zone, field)
    if m := AGO.fullmatch(said):
        return _apart(here, m[1], m[2], -1 if m[3] == "ago" else 1, text)
    if m := IN.fullmatch(said):
        return _apart(here, m[1], m[2], 1, text)
    if said == "today":
        return Moment(at=now.astimezone(UTC), rough=True, says=f"today is taken as {here:%H:%M}")
    day, rest = _day(said, here.date(), field, text)
    return _on(day, rest, zone, field, text)


def not_future(at: datetime, now: datetime, given: str, field: str = "when") -> datetime:
    """The instant, if it isn't in the future.

    Raises
    ------
    BadInput
        If it lies more than the difference of two household clocks ahead.
    """
    if at > now + LEAD:
        raise BadInput(field, given, "lies in the future. Only what has happened goes into the logbook.")
    return at


def iso(text: str, zone: str, field: str = "when") -> Moment:
    """The instant of an ISO time; without an offset it is the wall clock of the zone.

    Raises
    ------
    BadInput
        If it can't be read or the clocks left it out.
    """
    try:
        read = datetime.fromisoformat(text)
    except ValueError:
        raise BadInput(field, text, ACCEPTED) from None
    if read.tzinfo is not None:
        return Moment(at=read.astimezone(UTC))
    return _wall(read, zone, field, text)


def _count(word: str) -> float:
    return 0.5 if word == "half an" else 1.0 if word in {"a", "an"} else float(word.replace(",", "."))


def _apart(here: datetime, count: str, unit: str, sign: int, text: str) -> Moment:
    minutes = sign * _count(count) * STEP[unit]
    if STEP[unit] < STEP["day"]:
        return Moment(at=(here.astimezone(UTC) + timedelta(minutes=minutes)))
    there = here + timedelta(minutes=minutes)
    return _taken(there.astimezone(UTC), there, text)


def _taken(at: datetime, there: datetime, text: str) -> Moment:
    told = f"{there.day} {MONTHS[there.month - 1].capitalize()} {there:%H:%M}"
    return Moment(at=at, rough=True, says=f"{text.strip()} is taken as {told}")


def _day(said: str, today: date, field: str, text: str) -> tuple[date, str]:
    """The day named at the beginning or the end, and what is left: a clock time or a part of the day."""
    for words, back, rest in (
        ("the day before yesterday", 2, ""), ("day before yesterday", 2, ""), ("yesterday", 1, ""),
        ("today", 0, ""), ("tomorrow", -1, ""), ("last night", 1, "night"), ("tonight", 0, "evening"),
        ("this", 0, ""),
    ):  # fmt: skip
        if said == words or said.startswith(words + " ") or (words != "this" and said.endswith(" " + words)):
            return today - timedelta(days=back), (said.replace(words, "").strip() or rest)
    if m := re.match(r"(?:last |on )?(" + "|".join(WEEKDAYS) + r")\b ?(.*)", said):
        back = (today.weekday() - WEEKDAYS.index(m[1])) % 7
        return today - timedelta(days=7 if said.startswith("last ") and not back else back), m[2]
    if re.match(r"\d{1,2}[/.]\d{1,2}\b(?!h)", said):
        raise BadInput(field, text, "could mean two days. Write it like 3 April or 2026-04-03.")
    return _dated(said, today, field, text) or (today, said)


def _dated(said: str, today: date, field: str, text: str) -> tuple[date, str] | None:
    names = "|".join(f"{m}|{m[:3]}" for m in MONTHS)
    if m := re.match(r"(\d{4})-(\d{2})-(\d{2})\b ?(.*)", said):
        return _date(int(m[1]), int(m[2]), int(m[3]), field, text), m[4]
    for pattern, day, month in (
        (rf"(\d{{1,2}})(?:st|nd|rd|th)? ({names})\b\.?(?: (\d{{4}})\b(?!:))? ?(.*)", 1, 2),
        (rf"({names})\b\.? (\d{{1,2}})(?:st|nd|rd|th)?\b(?!:)(?: (\d{{4}})\b)? ?(.*)", 2, 1),
    ):
        if m := re.match(pattern, said):
            number = next(i for i, name in enumerate(MONTHS, 1) if name.startswith(m[month][:3]))
            year = int(m[3]) if m[3] else today.year
            found = _date(year, number, int(m[day]), field, text)
            if not m[3] and found > today + timedelta(days=1):
                found = _date(year - 1, number, int(m[day]), field, text)
            return found, m[4]
    return None


def _date(year: int, month: int, day: int, field: str, text: str) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise BadInput(field, text, "is not a day of the calendar.") from None


def _on(day: date, rest: str, zone: str, field: str, text: str) -> Moment:
    rest = rest.removeprefix("at ").removeprefix("in the ").removeprefix("this ").strip()
    if rest in PARTS or not rest:
        there = datetime.combine(day, PARTS.get(rest, DAYTIME), zone_of(zone))
        return _taken(there.astimezone(UTC), there, text)
    wall, offset = _clock(rest, field, text)
    if offset:
        return iso(f"{day.isoformat()}T{wall.isoformat()}{offset}", zone, field)
    return _wall(datetime.combine(day, wall), zone, field, text)


def _clock(rest: str, field: str, text: str) -> tuple[time, str]:
    body, offset = (m[1], m[2]) if (m := re.fullmatch(r"(.*\d)(z|[+-]\d{2}:\d{2})", rest)) else (rest, "")
    m2 = CLOCK.fullmatch(body)
    if not m2 or not (m2[2] or m2[4]):
        raise BadInput(field, text, ACCEPTED)
    hour = int(m2[1])
    if m2[4]:
        hour = hour % 12 + (12 if m2[4] == "pm" else 0)
    try:
        return time.fromisoformat(f"{hour:02d}:{m2[2] or '00'}:{m2[3] or '00'}"), offset.upper()
    except ValueError:
        raise BadInput(field, text, "is not a time of day. Write it like 18:30.") from None


def _wall(naive: datetime, zone: str, field: str, text: str) -> Moment:
    there = naive.replace(tzinfo=zone_of(zone))
    at = there.astimezone(UTC)
    back = at.astimezone(zone_of(zone))
    if back.replace(tzinfo=None) != naive:
        told = f"was left out when the clocks went forward. Write {back:%H:%M}."
        raise BadInput(field, text, told)
    if there.replace(fold=1).utcoffset() != there.utcoffset():
        says = f"{naive:%H:%M} came twice that night; the first is taken"
        return Moment(at=at, rough=True, says=says)
    return Moment(at=at)
