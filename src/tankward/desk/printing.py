"""What a course sheet is made of: the course, what the room knows around it, what to do if it goes wrong."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec

from tankward.judge.slips import what_now
from tankward.judge.urgent import Urgent, urgent
from tankward.judge.vet import Vet
from tankward.judge.waterstate import water_state
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Kit, Supply, Tank
from tankward.treat.course.records import Course

from .by_hand import proposed
from .courses import Wanted
from .desk import Desk
from .examine import examine_tank, told_of
from .lives import Lives, lives_here
from .running import running

GASPING = ("gasping_surface", "on_side", "sudden_deaths_many")
TWICE = "dosed twice"


class CourseToPrint(msgspec.Struct, frozen=True, kw_only=True):
    """A course with all that its sheet tells; `course` where it is only proposed, `begun` where it runs."""

    tank: Tank
    water: Answer
    lives: tuple[Lives, ...]
    course: Course | None
    begun: CourseBegun | None
    open_steps: tuple[Step, ...]
    all_steps: tuple[Step, ...]  # of a course that runs, those that are done too
    done: frozenset[str]
    kit: Kit
    shelf: Mapping[str, Supply]
    gasping: Urgent
    twice: Urgent
    vet: Vet
    entries: int
    state: str  # a digest of the logbook


def course_to_print(
    desk: Desk, tank: str, wanted: Wanted | None, now: datetime, zone: str, facts: Facts
) -> CourseToPrint:
    """A proposed course where one is wanted, else the one that runs.

    Raises
    ------
    BadInput
        If none is wanted and none runs, or all its steps are done.
    Refused
        If what is wanted would do harm.
    """
    room = desk.room()
    course = proposed(room, tank, wanted, now, zone, facts) if wanted is not None else None
    begun, steps = (None, ()) if course is not None else _running(room, tank, now, zone, facts)
    told = told_of(room, tank, water_state(room, tank, now, facts), now)
    gasping = urgent(GASPING, told, facts)
    assert gasping is not None  # these signs are urgent by themselves
    return CourseToPrint(
        tank=room.tanks[tank],
        water=water_of(room.tanks[tank], room),
        lives=tuple(lives_here(room, tank, facts)),
        course=course,
        begun=begun,
        open_steps=steps,
        all_steps=begun.steps if begun else (),
        done=frozenset(e.step for e in room.of_tank(tank) if isinstance(e, Done) and e.step),
        kit=room.kit,
        shelf=room.shelf,
        gasping=gasping,
        twice=what_now((), TWICE, told, facts),
        vet=examine_tank(room, tank, now, facts).vet,
        entries=len(desk.entries()),
        state=desk.digest,
    )


def _running(
    room: Room, tank: str, now: datetime, zone: str, facts: Facts
) -> tuple[CourseBegun, tuple[Step, ...]]:
    found = running(room, tank, now, zone, facts)
    name = room.tanks[tank].name
    if found is None:
        raise BadInput(
            "course", name, "has none that runs. Begin one, or name it with --substance and --route."
        )
    if not found.open:
        raise BadInput("course", name, "has no step left: all are done or left out.")
    return found.course, tuple(s.step for s in found.open)
