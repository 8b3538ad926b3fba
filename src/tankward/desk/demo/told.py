"""Lines of the demo's half year: "170d 18:30 look T3 well=yes" into a logbook of the plain-text form.

What stands before the word tells when, counted back from now: days and a clock ("170d 18:30"), hours ("26h"),
or the last Friday ("fri 17:30"). {day} in a line is its date, {month} its month,
{month:165} the month of 165 days ago. A long line goes on below, indented.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tankward.room.entries.base import Entry
from tankward.room.text import read_logbook

HERE = Path(__file__).parent
WHEN = re.compile(r"(?:(\d+)d|(fri)) (\d\d):(\d\d)\s+|(\d+(?:\.\d+)?)h\s+")
MONTH = re.compile(r"\{month(?::(\d+))?\}")
FRIDAY = 4
LATEST = timedelta(minutes=20)  # nothing is written nearer to now than this


def days_since_friday(now: datetime) -> int:
    """Days since the last Friday that is over, 1 to 7."""
    return (now.weekday() - FRIDAY - 1) % 7 + 1


def back(now: datetime, zone: str, days: int, hour: int, minute: int = 0) -> datetime:
    """That clock so many days ago; never after now."""
    there = now.astimezone(ZoneInfo(zone))
    day = (there - timedelta(days=days)).date()
    at = datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZoneInfo(zone))
    return min(at.astimezone(UTC), now - LATEST)


def dated(line: str, now: datetime, zone: str) -> str:
    found = WHEN.match(line)
    if found is None:
        return line
    if found[5]:
        at = now - timedelta(hours=float(found[5]))
    else:
        days = int(found[1]) if found[1] else days_since_friday(now.astimezone(ZoneInfo(zone)))
        at = back(now, zone, days, int(found[3]), int(found[4]))
    told = at.astimezone(UTC)
    rest = MONTH.sub(lambda m: f"{now - timedelta(days=int(m[1])) if m[1] else told:%B}", line[found.end() :])
    return f"{told:%Y-%m-%dT%H:%M}Z  {rest}".replace("{day}", f"{told:%Y-%m-%d}")


def told(name: str, now: datetime, zone: str) -> list[Entry]:
    """The entries of a file, counted back from now.

    Raises
    ------
    BadInput
        If a line can't be read.
    """
    lines = (HERE / name).read_text(encoding="utf-8").splitlines()
    return read_logbook("\n".join(dated(line, now, zone) for line in lines), zone=zone)
