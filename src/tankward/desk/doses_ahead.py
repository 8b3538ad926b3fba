"""What the doses still planned would make, starting from what really happened."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.holds import there_now
from tankward.room.replay import Room
from tankward.room.time import hours_between
from tankward.treat.amounts.published import Published, beyond
from tankward.treat.label_parts import dosed_published
from tankward.treat.medicine import is_medicine

from .running import running

FULL_ALREADY = 1.25  # of a full dose: so much in the water needs no other one [our own choice]
INSTANT_H = 0.02  # before and after an act: the level as it is met and as it leaves it [h]


class Ahead(msgspec.Struct, frozen=True, kw_only=True):
    """A dose that is still planned, in the water as it will really be then."""

    step: Step
    substance: str
    before: Estimate
    after: Estimate
    published: Published | None
    lies: str  # below, within, above or refused; "" where nothing is published
    full_already: bool  # more than a full dose of this course is still in the water

    @property
    def leave_out(self) -> bool:
        return self.full_already or self.lies in ("above", "refused")


def doses_ahead(room: Room, tank: str, found: Forecast, now: datetime, facts: Facts) -> tuple[Ahead, ...]:
    """What each dose still planned would make, starting from what really happened.

    Parameters
    ----------
    room : Room
        With the slip in its logbook.
    tank : str
        Its id.
    found : Forecast
        Of this tank, with the steps that are still planned.
    now : datetime
        With zone.
    facts : Facts
        What is published.

    Returns
    -------
    tuple of Ahead
        In order of time. A dose is left out where it would pass what is published, or where the water holds
        a quarter more than the course's own full dose before it (common practice, our own choice).
    """
    names = {s.name for s in found.series}
    course = room.courses.get(tank)
    if course is None:
        return ()
    litres = there_now(room.tanks[tank], room, course.at)
    if litres is None:
        return ()
    full = {s: mg / litres.value for s, mg in _full_doses(course).items()}
    run = running(room, tank, now, "UTC", facts)
    later = [s.step for s in run.open if s.step.at > now] if run else []
    return tuple(
        _ahead(step, substance, full[substance], found, now, facts)
        for step in later
        if isinstance(step.act, Dose)
        for substance in step.act.actives
        if substance in names and is_medicine(substance, facts)
    )


def _full_doses(course: CourseBegun) -> dict[str, float]:
    """The largest amount of each active in one dose of a course. [own unit]"""
    found: dict[str, float] = {}
    for step in course.steps:
        for substance, amount in step.act.actives.items() if isinstance(step.act, Dose) else ():
            found[substance] = max(found.get(substance, 0.0), amount)
    return found


def _ahead(step: Step, substance: str, full: float, found: Forecast, now: datetime, facts: Facts) -> Ahead:
    hours = hours_between(now, step.at)
    before, after = (found.at(substance, hours + h) for h in (-INSTANT_H, INSTANT_H))
    span = dosed_published(substance, facts)
    return Ahead(
        step=step,
        substance=substance,
        before=before,
        after=after,
        published=span,
        lies=beyond(after.value, span) if span is not None else "",
        full_already=before.value > FULL_ALREADY * full,
    )
