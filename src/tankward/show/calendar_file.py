"""A calendar as an iCalendar file (RFC 5545), for a telephone or any calendar program.

No alarms: those are the keeper's to set. The UID of a moment is made of its first step's id, so that a file
read in again replaces what it brought before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
from icalendar.enums import TRANSP

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.rounds.calendar import Calendar, DayMark, Moment

from .words.calendar import NO_ALARM, mark_head, mark_soft, moment_lines, moment_title, tank_name

STEP_MIN = 5  # minutes that a step takes in a calendar [our own choice]
SHORTEST_MIN, LONGEST_MIN = 15, 60
DAY = timedelta(days=1)
MIME = "text/calendar; charset=utf-8"
AT = "tankward"


def calendar_file(
    found: Calendar,
    room: Room,
    facts: Facts,
    *,
    now: datetime,
    zone: str,
    program: str,
    tank: str = "",
    danger: Mapping[str, Sequence[str]] | None = None,
) -> bytes:
    """The file.

    Parameters
    ----------
    found : Calendar
        What stands in it.
    room : Room
        Names the tanks.
    facts : Facts
        Names substances and signs.
    now : datetime
        When it is made.
    zone : str
        Of the keeper's wall clock; its rules are written for the days that are used, and no others.
    program : str
        Version of the program.
    tank : str
        The tank it is about; "" for the room.
    danger : mapping of str to lines
        By tank: what stands against its course and is said with every moment of it.

    Returns
    -------
    bytes
        UTF-8, lines ended by CRLF and folded after 75 octets.
    """
    name = f"Tankward, {tank_name(tank, room)}" if tank else "Tankward"
    stamp = now.astimezone(UTC).replace(microsecond=0)
    cal = icalendar.Calendar.new(
        prodid=f"-//Tankward//{program}//EN", name=name, description=NO_ALARM, method="PUBLISH",
        uid=uid_of("calendar", tank or "room"),
    )  # fmt: skip
    for moment in found.moments:
        cal.add_component(_moment(moment, room, facts, stamp, zone, (danger or {}).get(moment.tank, ())))
    for mark in found.marks:
        cal.add_component(_mark(mark, room, facts, stamp))
    if found.moments and zone != "UTC":
        days = [day_of(m.at, zone) for m in found.moments]
        cal.add_missing_timezones(first_date=min(days) - DAY, last_date=max(days) + DAY)
        for rules in cal.timezones:
            rules.pop("COMMENT", None)
    return bytes(cal.to_ical())


def uid_of(ident: str, tank: str) -> str:
    """Of one tank's moment or mark: two tanks may be given the same course on one day."""
    return f"{ident}.{tank}@{AT}"


def _moment(
    moment: Moment, room: Room, facts: Facts, stamp: datetime, zone: str, danger: Sequence[str]
) -> icalendar.Event:
    start = moment.at.astimezone(UTC if zone == "UTC" else ZoneInfo(zone)).replace(second=0, microsecond=0)
    minutes = min(max(STEP_MIN * len(moment.steps), SHORTEST_MIN), LONGEST_MIN)
    return icalendar.Event.new(
        uid=uid_of(moment.id, moment.tank),
        stamp=stamp,
        start=start,
        end=(start.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(start.tzinfo),
        summary=moment_title(moment, room, facts),
        description="\n".join(moment_lines(moment, facts, danger)),
        transparency=TRANSP.TRANSPARENT,
    )


def _mark(mark: DayMark, room: Room, facts: Facts, stamp: datetime) -> icalendar.Event:
    return icalendar.Event.new(
        uid=uid_of(mark.id, mark.tank),
        stamp=stamp,
        start=mark.on,
        end=_next(mark.on),
        summary=mark_head(mark, room, facts),
        description=mark_soft(mark, facts),
        transparency=TRANSP.TRANSPARENT,
    )


def _next(day: date) -> date:
    """The end of a whole day is the day after it (RFC 5545, 3.6.1)."""
    return day + DAY
