"""Acts done, and courses begun and ended."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import msgspec

from tankward.room.acts import AnyAct, Move, Remove

from .base import Entry

if TYPE_CHECKING:
    from tankward.room.replay import Room


class Done(Entry, frozen=True, tag="done"):
    """Something done to the water or the animals."""

    act: AnyAct
    step: str = ""  # the step of a course that this ticks off

    def effect(self, room: Room) -> Room:
        if isinstance(self.act, Move):
            return room.moved(self.act.stock, self.act.to, self.act.number)
        if isinstance(self.act, Remove) and self.act.stock:
            return room.fewer(self.act.stock, self.act.number)
        return room


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """An act planned: when, why, what it risks."""

    id: str
    at: datetime
    act: AnyAct
    amount: str = ""  # in the keeper's own measure
    how: str = ""
    why: str = ""
    hazard: str = ""


class CourseBegun(Entry, frozen=True, tag="course"):
    """A course begun, with its dated steps."""

    name: str
    substance: str = ""
    route: str = ""
    cause: str = ""
    supply: str = ""
    steps: tuple[Step, ...] = ()
    statement: str = ""  # of lawful possession, where the substance needs it

    def effect(self, room: Room) -> Room:
        return room.with_course(self)


class StepSkipped(Entry, frozen=True, tag="skipped"):
    """A step left out."""

    step: str
    why: str = ""


class CourseStopped(Entry, frozen=True, tag="course_stopped"):
    """A course stopped."""

    course: str = ""
    why: str = ""

    def effect(self, room: Room) -> Room:
        return room.without_course(self.tank)
