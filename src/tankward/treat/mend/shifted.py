"""The steps of a course that runs, put off where a dose was given late: no two doses stand too close."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, Done, Step, StepSkipped
from tankward.room.hours import hours_of, next_within
from tankward.room.replay import Room
from tankward.treat.medicine import is_medicine

from .late import TOGETHER, is_dose, least_apart_h

SLACK = timedelta(hours=1)  # a dose that would come so little too early stays where it is [our own choice]
NOT_AT_ALL = timedelta()


class Moved(msgspec.Struct, frozen=True, kw_only=True):
    """Why a dose comes later than planned: the one before it was given at `given`, planned for `due`.

    `open`: that one was not given yet, and is put off itself.
    """

    planned: datetime
    given: datetime
    due: datetime
    apart_h: float  # two doses stand no closer
    open: bool = False


class Shifted(msgspec.Struct, frozen=True, kw_only=True):
    """The steps of a course as they have to come; `moved`: by the id of a dose that is put off, why."""

    steps: tuple[Step, ...]
    moved: dict[str, Moved]


def shifted(room: Room, tank: str, facts: Facts) -> Shifted:
    """The steps of the running course, those that are open as what was given late needs.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        Its id.
    facts : Facts
        How far two doses stand apart.

    Notes
    -----
    A dose comes no sooner after the one before than `late.least_apart_h` says, and then within the keeper's
    hours. What belongs to it comes with it, and what follows up to the next dose as long after it as planned.
    """
    course = room.courses.get(tank)
    if course is None:
        return Shifted(steps=(), moved={})
    told = {e.step: e for e in room.of_tank(tank) if isinstance(e, Done | StepSkipped) and e.step}
    steps = sorted(course.steps, key=lambda s: s.at)
    doses = [s for s in steps if is_dose(s, facts) and not s.tub]
    given = {s.id: told[s.id].at for s in doses if isinstance(told.get(s.id), Done)}
    moved: dict[str, Moved] = {}
    by: dict[str, timedelta] = {}
    for dose in (s for s in doses if s.id not in told):
        why, at = _put_off(room, course, dose, doses, given, moved, facts)
        given[dose.id] = at
        by[dose.id] = at - dose.at
        if why is not None:
            moved[dose.id] = why
    if not moved:
        return Shifted(steps=tuple(steps), moved={})
    late = [s if s.id in told or s.tub else _later(s, doses, by) for s in steps]
    return Shifted(steps=tuple(sorted(late, key=lambda s: s.at)), moved=moved)


def _put_off(
    room: Room,
    course: CourseBegun,
    dose: Step,
    doses: Sequence[Step],
    given: dict[str, datetime],
    moved: Container[str],
    facts: Facts,
) -> tuple[Moved | None, datetime]:
    """When it may be given, and why not as planned."""
    found: list[tuple[datetime, Moved]] = []
    for substance in _medicines(dose, facts):
        before = [s for s in doses if s.at < dose.at and s.id in given and substance in _medicines(s, facts)]
        if not before:
            continue
        last = max(before, key=lambda s: given[s.id])
        apart = least_apart_h(room, course, last, substance, dose, facts)
        first = given[last.id] + timedelta(hours=apart)
        was = given[last.id]
        why = Moved(planned=dose.at, given=was, due=last.at, apart_h=apart, open=last.id in moved)
        found.append((first, why))
    if not found:
        return None, dose.at
    first, why = max(found, key=lambda f: f[0])
    if first <= dose.at + SLACK:
        return None, dose.at
    hours = hours_of(room.kit.hours, course.at, course.zone)
    return why, next_within(hours, first, course.zone)


def _medicines(step: Step, facts: Facts) -> Iterable[str]:
    return [s for s in step.act.actives if is_medicine(s, facts)] if isinstance(step.act, Dose) else []


def _later(step: Step, doses: Sequence[Step], by: dict[str, timedelta]) -> Step:
    """With the dose that it belongs to, else with the one before it."""
    own = next((d for d in doses if NOT_AT_ALL <= d.at - step.at <= TOGETHER), None)
    before = [d for d in doses if d.at <= step.at]
    leads = own or (before[-1] if before else None)
    off = by.get(leads.id, NOT_AT_ALL) if leads else NOT_AT_ALL
    return msgspec.structs.replace(step, at=step.at + off) if off else step
