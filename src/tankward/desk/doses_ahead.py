"""What the doses still planned would make, starting from what really happened."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import Step
from tankward.room.replay import Room
from tankward.room.time import hours_between
from tankward.treat.amounts.published import Published, beyond
from tankward.treat.label_parts import dosed_published

from .bears import is_medicine
from .running import running

INSTANT_H = 0.02  # before and after an act: the level as it is met and as it leaves it [h]


class Ahead(msgspec.Struct, frozen=True, kw_only=True):
    """A dose that is still planned, in the water as it will really be then."""

    step: Step
    substance: str
    before: Estimate
    after: Estimate
    published: Published | None
    lies: str  # below, within, above or refused; "" where nothing is published

    @property
    def leave_out(self) -> bool:
        return self.lies in ("above", "refused")


def doses_ahead(room: Room, tank: str, found: Forecast, now: datetime, facts: Facts) -> tuple[Ahead, ...]:
    """What each dose still planned would make, starting from what really happened."""
    names = {s.name for s in found.series}
    steps = [s for s in open_later(room, tank, now) if isinstance(s.act, Dose)]
    return tuple(
        _ahead(step, substance, found, now, facts)
        for step in steps
        if isinstance(step.act, Dose)
        for substance in step.act.actives
        if substance in names and is_medicine(substance, facts)
    )


def open_later(room: Room, tank: str, now: datetime) -> list[Step]:
    """Steps of the running course that are still to come."""
    run = running(room, tank, now, "UTC")
    return [s.step for s in run.open if s.step.at > now] if run else []


def _ahead(step: Step, substance: str, found: Forecast, now: datetime, facts: Facts) -> Ahead:
    hours = hours_between(now, step.at)
    after = found.at(substance, hours + INSTANT_H)
    span = dosed_published(substance, facts)
    return Ahead(
        step=step,
        substance=substance,
        before=found.at(substance, hours - INSTANT_H),
        after=after,
        published=span,
        lies=beyond(after.value, span) if span is not None else "",
    )
