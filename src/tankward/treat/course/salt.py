"""Salt in a tank: raised by steps, kept while waste is changed out, washed out day by day."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.time import add_hours

from .doses import Portion
from .request import CourseRequest
from .steps import Steps, change

DAY_H = 24.0
WASHED = 3  # daily changes by which most of the salt is out [common practice]
# Food goes on and waste gathers: a part of the water so often while salt stands [our own choice].
EVERY_D = 3
MG_PER_G = 1000.0


def salt_steps(full: Portion, volume_l: Estimate, facts: Facts) -> int:
    """In how many steps salt is raised: no faster than the change limits say."""
    row = next(r for r in facts.hygiene.change_limit if r.id == "salt_up")
    level = max(full.amounts.values()) / volume_l.value / MG_PER_G
    return max(1, math.ceil(level / (row.high or 1.0) - 1e-9))


def daily_share(facts: Facts) -> float:
    """The most of the salt that goes out in a day, should somebody forget to put it back. [share]"""
    row = next(r for r in facts.hygiene.change_limit if r.id == "salt_down")
    return (row.high or 25.0) / 100.0


def changed_on(raised: datetime, ends: datetime) -> tuple[datetime, ...]:
    """Every third day after the last step up; none in the three days before the salt is washed out anyway."""
    found, when = [], raised + timedelta(days=EVERY_D)
    while when + timedelta(days=EVERY_D) <= ends:
        found.append(when)
        when += timedelta(days=EVERY_D)
    return tuple(found)


def wash_out(steps: Steps, at: datetime, request: CourseRequest, volume_l: Estimate) -> None:
    """A part each day, no faster than the change limits say."""
    for n in range(WASHED):
        change(steps, add_hours(at, DAY_H * n), daily_share(steps.facts), request, volume_l, why="salt-down")
