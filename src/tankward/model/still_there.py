"""Fish that were entered as dead, and fish that an organism kills in the model: the same fish are taken once.

Up to now an organism kills by itself, in each draw as many as it does; deaths are held against that.
From now on no more fish are there than the logbook says.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

import msgspec
import numpy as np

from .events import Event, Stocked
from .follow import Followed
from .from_room import Story
from .lives.tables import HOSTED
from .organisms import fish_number
from .outbreak import Passed, run
from .rows import Array

DAY_MIN = 1440.0


class Lived(msgspec.Struct, frozen=True, kw_only=True):
    """A story in which nobody was entered as dead, and what share of the fish that leaves too many."""

    told: Story
    left: float = 1.0


def without_dead(told: Story, dead_at: Collection[datetime]) -> Lived:
    """A story without the deaths of these instants; whoever leaves else leaves as before."""
    if not dead_at:
        return Lived(told=told)
    events: list[tuple[datetime, Event]] = []
    before, left = 1.0, 1.0
    for at, event in told.events:
        if isinstance(event, Stocked):
            if at in dead_at and 0.0 < event.of_fish < before:
                left *= event.of_fish / before
            before = event.of_fish
            event = Stocked(share=event.share / left, fish=event.of_fish / left)
        events.append((at, event))
    return Lived(told=msgspec.structs.replace(told, events=tuple(events)), left=left)


def with_dead(found: Followed, lived: Lived, here: int) -> Followed:
    """From a minute on with as many fish as the logbook says; where fewer are left already, with those."""
    if lived.left == 1.0 or here >= found.course.end:
        return found
    course, passed = found.course, found.passed
    at = max(n for n, m in enumerate(passed.minutes) if m <= here)
    span = passed.minutes[at + 1] - passed.minutes[at]  # kept rows are two hours apart: straight between them
    before = passed.rows[at] + (here - passed.minutes[at]) / span * (passed.rows[at + 1] - passed.rows[at])
    rows = no_more(found, lived, here, before)
    infected = course.infected_d + (here - course.begin) / DAY_MIN
    later = run(msgspec.structs.replace(course, begin=here, start=rows, infected_d=infected))
    spliced = Passed(
        minutes=(*passed.minutes[: at + 1], here, *later.minutes),
        rows=np.concatenate([passed.rows[: at + 1], before[None], later.rows]),
    )
    return msgspec.structs.replace(found, passed=spliced)


def no_more(found: Followed, lived: Lived, here: int, rows: Array) -> Array:
    """The rows at a minute with no more fish than the logbook says."""
    life, rows = found.course.life, rows.copy()
    if lived.left < 1.0:
        said = life.herd.fish * found.course.around.stands(here).fish * lived.left
        share = np.minimum(said / np.maximum(fish_number(life, rows), 1e-9), 1.0)
        rows[[r for r, row in enumerate(life.gathered.rows) if row.place in (*HOSTED, "host")]] *= share
    return np.asarray(rows)
