"""A course, proposed or begun, for whoever minds the tank."""

from __future__ import annotations

from tankward import __version__
from tankward.desk.courses import Wanted
from tankward.desk.printing import course_to_print
from tankward.desk.running import running
from tankward.show.sheets.course import course_sheet
from tankward.show.sheets.records import CourseSheet

from .sheet import INVENTED, Asked, Sheet

KEYS = tuple((key, "") for key in Wanted.__struct_fields__)


def record(asked: Asked) -> CourseSheet:
    """The course that was named, else the one that runs."""
    assert asked.tank is not None  # the press asks for it
    typed = {"substance": "", "route": "", **asked.typed}
    named = Wanted(**typed) if any(typed.get(k) for k in ("substance", "route", "remedy")) else None
    given = course_to_print(asked.desk, asked.tank.id, named, asked.now, asked.zone, asked.facts)
    return course_sheet(
        given, asked.facts, now=asked.now, zone=asked.zone, program=__version__,
        invented=INVENTED if asked.demo else "",
    )  # fmt: skip


def runs(asked: Asked) -> bool:
    """Whether a course with a step left runs in the tank."""
    if asked.tank is None:
        return False
    found = running(asked.desk.room(), asked.tank.id, asked.now, asked.zone, asked.facts)
    return found is not None and bool(found.open)


SHEET = Sheet(
    name="course",
    title="A course",
    use="for whoever minds the tank: every step with its time, its amount and a box",
    about="tank",
    layout="course",
    record=record,
    of_course=True,
    asks=KEYS,
    fits=runs,
)
