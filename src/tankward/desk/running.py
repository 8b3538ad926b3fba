"""A course that runs: which steps are done, skipped, late or to come; ticks, skips and stops as entries."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done, Step, StepSkipped
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.rounds.steps import GRACE
from tankward.treat.mend.shifted import Moved, Shifted, shifted

from .folder import new_id

State = Literal["done", "skipped", "late", "due", "later"]


class StepState(msgspec.Struct, frozen=True, kw_only=True):
    """A step and how it stands; `entry` is what ticked it off or left it out."""

    step: Step
    state: State
    entry: str = ""
    at: datetime | None = None  # when it was done
    who: str = ""
    gap_h: float | None = None  # to the next step of the same kind of act
    moved: Moved | None = None  # why it comes later than planned: the dose before it was given late

    @property
    def open(self) -> bool:
        return self.state in ("late", "due", "later")


class Running(msgspec.Struct, frozen=True, kw_only=True):
    """A course with how each of its steps stands, in order of time."""

    course: CourseBegun
    steps: tuple[StepState, ...]

    @property
    def open(self) -> tuple[StepState, ...]:
        return tuple(s for s in self.steps if s.open)

    @property
    def next(self) -> tuple[StepState, ...]:
        """The open steps of the next hour in which anything is to be done."""
        left = self.open
        return tuple(s for s in left if s.step.at - left[0].step.at < timedelta(hours=1)) if left else ()


def running(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> Running | None:
    """The course that runs in a tank, its steps put off where a dose was given late; None where none runs."""
    course = room.courses.get(tank)
    if course is None:
        return None
    done = {e.step: e for e in room.of_tank(tank) if isinstance(e, Done | StepSkipped) and e.step}
    found = shifted(room, tank, facts)
    rows = (_state(s, found, done, now, zone) for s in found.steps)
    return Running(course=course, steps=tuple(rows))


def _state(
    step: Step, found: Shifted, done: dict[str, Done | StepSkipped], now: datetime, zone: str
) -> StepState:
    steps, moved = found.steps, found.moved.get(step.id)
    entry = done.get(step.id)
    later = [s.at for s in steps if s.at > step.at and type(s.act) is type(step.act)]
    gap = (later[0] - step.at) / timedelta(hours=1) if later else None
    if entry is not None:
        state: State = "done" if isinstance(entry, Done) else "skipped"
        return StepState(step=step, state=state, entry=entry.id, at=entry.at, who=entry.who, gap_h=gap)
    if now > step.at + GRACE:
        return StepState(step=step, state="late", gap_h=gap, moved=moved)
    today = day_of(step.at, zone) == day_of(now, zone)
    return StepState(step=step, state="due" if today else "later", gap_h=gap, moved=moved)


def step_of(room: Room, tank: str, step: str) -> Step:
    """The step of that id in the course that runs.

    Raises
    ------
    BadInput
        If no course runs there, or it has no such step.
    """
    course = room.courses.get(tank)
    if course is None:
        raise BadInput("step", step, "can't be ticked: no course runs in this tank.")
    found = next((s for s in course.steps if s.id == step), None)
    if found is None:
        raise BadInput("step", step, "is no step of the course that runs in this tank.")
    return found


def ticked(
    room: Room,
    tank: str,
    step: str,
    at: datetime,
    zone: str,
    *,
    sure: str = "sure",
    made: Callable[[], str] = new_id,
) -> Done | None:
    """The entry that a step was done then, as it was planned; None where it is written down already.

    A wet double touch must not dose twice in the logbook.

    Raises
    ------
    BadInput
        If there is no such step, or the course had not begun then.
    """  # fmt: skip
    found = step_of(room, tank, step)
    if told(room, tank, step):
        return None
    if at < room.courses[tank].at:
        raise BadInput("when", at.isoformat(timespec="minutes"), "lies before this course was begun.")
    return Done(id=made(), at=at, zone=zone, tank=tank, act=found.act, step=step, sure=sure, tub=found.tub)


def skipped(
    room: Room, tank: str, step: str, why: str, now: datetime, zone: str, *, made: Callable[[], str] = new_id
) -> StepSkipped | None:
    """The entry that a step is left out; None where it is written down already."""
    found = step_of(room, tank, step)
    if told(room, tank, step):
        return None
    return StepSkipped(id=made(), at=now, zone=zone, tank=tank, step=found.id, why=why)


def told(room: Room, tank: str, step: str) -> bool:
    """Whether a step was ticked or left out."""
    return any(isinstance(e, Done | StepSkipped) and e.step == step for e in room.of_tank(tank))


def stopped(
    room: Room, tank: str, why: str, now: datetime, zone: str, *, made: Callable[[], str] = new_id
) -> CourseStopped:
    """The entry that a course is stopped.

    Raises
    ------
    BadInput
        If none runs there.
    """
    course = room.courses.get(tank)
    if course is None:
        raise BadInput("tank", tank, "has no course that could be stopped.")
    return CourseStopped(id=made(), at=now, zone=zone, tank=tank, course=course.id, why=why)
