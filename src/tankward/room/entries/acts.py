"""Acts done, and courses begun and ended."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any, ClassVar

import msgspec

from tankward.room.acts import AnyAct, Apart, Dose, Move, Remove

from .base import Entry, Question, as_it_was

if TYPE_CHECKING:
    from tankward.room.replay import Room


class Done(Entry, frozen=True, kw_only=True, tag="done"):
    """Something done to the water or the animals."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {1: as_it_was}

    version: int = 2
    act: AnyAct
    # The step of a course that this ticks off.
    step: Annotated[str, Question("Which step of the course is this?", hidden=True)] = ""
    # In the tub beside the tank: the tank's water meets nothing of it.
    tub: Annotated[bool, Question("Was it in a tub beside the tank?", "yes", hidden=True)] = False

    def effect(self, room: Room) -> Room:
        if isinstance(self.act, Move):
            return room.moved(self.act.stock, self.act.to, self.act.number)
        if isinstance(self.act, Apart):
            act = self.act
            return room.set_apart(act.stock, act.volume_l) if act.out else room.back_in(act.stock)
        if isinstance(self.act, Remove) and self.act.stock:
            return room.removed(self.act.stock, self.act.number, dead=self.act.why == "dead")
        if isinstance(self.act, Dose) and self.act.units:
            return room.used(self.act.supply, self.act.units)
        return room


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """An act planned: when, why, what it risks."""

    id: str
    at: datetime
    act: AnyAct
    says: str = ""  # the act with its amount, as a heading
    amount: str = ""  # in the keeper's own measure
    how: str = ""
    why: str = ""
    hazard: str = ""
    tub: bool = False  # in the tub beside the tank


class CourseBegun(Entry, frozen=True, kw_only=True, tag="course"):
    """A course begun, with its dated steps."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {1: as_it_was}

    version: int = 2
    name: Annotated[str, Question("What is it called?", "name")]
    substance: Annotated[str, Question("Which substance?", "substance")] = ""
    remedy: Annotated[str, Question("Which remedy without medicine?", hidden=True)] = ""
    route: Annotated[str, Question("By which way?")] = ""
    cause: Annotated[str, Question("Against what?", "cause")] = ""
    supply: Annotated[str, Question("From which packet?", "supply")] = ""
    steps: Annotated[tuple[Step, ...], Question("Which steps?", "steps", hidden=True)] = ()
    # As it was told when it began, a line each: how strong, whom it reaches, what to mind.
    strong: Annotated[str, Question("How strong is it?", hidden=True)] = ""
    told: Annotated[str, Question("What is to be minded?", "long_text", hidden=True)] = ""
    # Of lawful possession and of the people near, where the substance needs it; a line each.
    statement: Annotated[str, Question("What do you state?", "long_text", hidden=True)] = ""

    def effect(self, room: Room) -> Room:
        return room.with_course(self)


class StepSkipped(Entry, frozen=True, tag="skipped"):
    """A step left out."""

    step: Annotated[str, Question("Which step?")]
    why: Annotated[str, Question("Why?")] = ""


class CourseStopped(Entry, frozen=True, tag="course_stopped"):
    """A course stopped."""

    course: Annotated[str, Question("Which course?", "entry")] = ""
    why: Annotated[str, Question("Why?")] = ""

    def effect(self, room: Room) -> Room:
        running = room.courses.get(self.tank)
        if running is None or self.course not in ("", running.id):
            return room
        return room.without_course(self.tank)
