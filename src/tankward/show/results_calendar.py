"""What the calendar answers: its moments and days, and the file."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.time import local
from tankward.rounds.calendar import Calendar

from .calendar_file import uid_of
from .results import Result
from .words.calendar import mark_head, moment_state, moment_title


class CalendarRow(msgspec.Struct, frozen=True, kw_only=True):
    """One event. `at` has an hour, or is a whole day."""

    uid: str
    tank: str
    at: str
    what: str
    state: str  # "", Done, Left out
    outside: bool
    source: str
    status: str


class CalendarResult(Result, frozen=True, kw_only=True):
    """A calendar. Without --json the file itself is what is written."""

    events: list[CalendarRow]
    file: str


def calendar_rows(found: Calendar, room: Room, facts: Facts, zone: str) -> list[CalendarRow]:
    """The events by their time."""
    moments = [
        CalendarRow(
            uid=uid_of(m.id, m.tank), tank=m.tank, at=local(m.at, zone).isoformat(timespec="minutes"),
            what=moment_title(m, room, facts), state=moment_state(m), outside=m.outside, source="none",
            status="computed",
        )
        for m in found.moments
    ]  # fmt: skip
    marks = [
        CalendarRow(
            uid=uid_of(m.id, m.tank), tank=m.tank, at=m.on.isoformat(), what=mark_head(m, room, facts),
            state="Done" if m.look and m.look.done else "", outside=False, source=m.source,
            status=m.status or "computed",
        )
        for m in found.marks
    ]  # fmt: skip
    return sorted([*moments, *marks], key=lambda row: row.at)
