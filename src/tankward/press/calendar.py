"""The calendar of a room, of a tank, or of a course that is only proposed: gathered, and as a file."""

from __future__ import annotations

import msgspec

from tankward import __version__
from tankward.desk.by_hand import proposed
from tankward.desk.courses import Wanted
from tankward.room.hours import Hours, hours_of
from tankward.room.names import slug
from tankward.rounds.calendar import Calendar, calendar_of, moments_of
from tankward.show.calendar_file import calendar_file
from tankward.show.words.course import course_name, danger_lines, danger_told, entry_steps
from tankward.show.words.step_parts import Context

from .sheet import Asked


class Gathered(msgspec.Struct, frozen=True, kw_only=True):
    """A calendar, the hours that it was held against, and what stands against a course, by its tank."""

    calendar: Calendar
    hours: Hours | None
    danger: dict[str, list[str]]
    proposed: str = ""  # what the course is called that is not begun


def gathered(asked: Asked, wanted: Wanted | None = None) -> Gathered:
    """What stands in the calendar; with `wanted` that course in place of the one that runs.

    Raises
    ------
    BadInput
        If what is wanted can't be read.
    Refused
        If it would do harm.
    """
    room, now, zone = asked.desk.room(), asked.now, asked.zone
    hours = hours_of(room.kit.hours, now, zone)
    found = calendar_of(room, now, zone, asked.facts, hours, asked.tank.id if asked.tank else "")
    if wanted is None or asked.tank is None:
        told = {t: danger_told(course) for t, course in room.courses.items()}
        return Gathered(calendar=found, hours=hours, danger={t: d for t, d in told.items() if d})
    course = proposed(room, asked.tank.id, wanted, now, zone, asked.facts)
    name = course_name(course, asked.facts)
    said = entry_steps(Context(course=course, facts=asked.facts, kit=room.kit, shelf=room.shelf))
    moments = moments_of(asked.tank.id, name, said.values(), hours, zone)
    danger = danger_lines(course.cautions)
    return Gathered(
        calendar=msgspec.structs.replace(found, moments=moments), hours=hours, proposed=name,
        danger={asked.tank.id: danger} if danger else {},
    )  # fmt: skip


def file_of(asked: Asked, given: Gathered) -> tuple[str, bytes]:
    """The name of the file, and what it holds."""
    tank = asked.tank.id if asked.tank else ""
    made = calendar_file(
        given.calendar, asked.desk.room(), asked.facts, now=asked.now, zone=asked.zone, program=__version__,
        tank=tank, danger=given.danger,
    )  # fmt: skip
    return f"{slug(asked.tank.name) if asked.tank else 'tankward'}.ics", made
