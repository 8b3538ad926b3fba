"""What lies ahead and behind by its day: steps of courses, looks of watches, newcomers' days over.

The steps of one tank at one instant are one moment: nobody needs eight alarms for one water change.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import groupby
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.entries.acts import Done, Step, StepSkipped
from tankward.room.hours import Hours
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.treat.course.within_hours import ANY_HOUR
from tankward.treat.mend.shifted import shifted

from .due import AFTER
from .newcomers import newcomers
from .watch import ClearanceWatch, WatchLook, open_watches

OF_ANY_HOUR = re.compile(rf"(?:^|-)(?:{'|'.join(ANY_HOUR)})-\d+$")
State = Literal["open", "done", "skipped"]


class StepOn(msgspec.Struct, frozen=True, kw_only=True):
    """A step and whether it was told; `at` is when."""

    step: Step
    state: State = "open"
    at: datetime | None = None


class Moment(msgspec.Struct, frozen=True, kw_only=True):
    """The steps of one tank at one instant. `outside`: a hand is needed when the keeper can't be there."""

    tank: str
    course: str
    at: datetime
    steps: tuple[StepOn, ...]
    outside: bool = False

    @property
    def id(self) -> str:
        """Stable, whatever of it is done: that of its first step."""
        return self.steps[0].step.id

    @property
    def done(self) -> bool:
        return all(s.state == "done" for s in self.steps)

    @property
    def over(self) -> bool:
        """Whether nothing of it is left to do."""
        return all(s.state != "open" for s in self.steps)


class DayMark(msgspec.Struct, frozen=True, kw_only=True):
    """What belongs to a day and to no hour of it."""

    kind: Literal["watch", "newcomers", "newcomer-look"]
    tank: str
    on: date
    id: str
    stock: str = ""
    what: str = ""  # droppings, vents
    days: float = 0.0
    watch: ClearanceWatch | None = None
    look: WatchLook | None = None
    source: str = "none"
    status: str = ""


class Calendar(msgspec.Struct, frozen=True, kw_only=True):
    """Everything by its day."""

    moments: tuple[Moment, ...]
    marks: tuple[DayMark, ...]

    def days(self, zone: str) -> list[date]:
        """The days on which there is something."""
        return sorted({day_of(m.at, zone) for m in self.moments} | {m.on for m in self.marks})


def calendar_of(
    room: Room, now: datetime, zone: str, facts: Facts, hours: Hours | None = None, tank: str = ""
) -> Calendar:
    """The calendar of a tank, or of the room.

    Parameters
    ----------
    room : Room
        As it stands.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.
    hours : Hours, optional
        The keeper's; what needs hands outside of them is marked.
    tank : str
        Id of one tank; "" for all.
    """
    tanks = [t for t in room.tanks if t == (tank or t)]
    moments = [
        m
        for t in tanks
        if (course := room.courses.get(t)) is not None
        for m in moments_of(t, course.name, shifted(room, t, facts).steps, hours, zone, _told(room, t))
    ]
    every = (*_watched(room, now, zone, facts), *_newcomers(room, now, zone, facts))
    marks = [m for m in every if m.tank in tanks]
    return Calendar(
        moments=tuple(sorted(moments, key=lambda m: (m.at, m.tank))),
        marks=tuple(sorted(marks, key=lambda m: (m.on, m.tank, m.id))),
    )


def moments_of(
    tank: str,
    course: str,
    steps: Iterable[Step],
    hours: Hours | None,
    zone: str,
    told: Mapping[str, Done | StepSkipped] | None = None,
) -> tuple[Moment, ...]:
    """The moments of one course, begun or only proposed."""
    found = []
    for at, group in groupby(sorted(steps, key=lambda s: s.at), key=lambda s: s.at):
        own = tuple(_stands(s, (told or {}).get(s.id)) for s in group)
        found.append(
            Moment(tank=tank, course=course, at=at, steps=own, outside=_outside(own, hours, at, zone))
        )
    return tuple(found)


def _stands(step: Step, entry: Done | StepSkipped | None) -> StepOn:
    if entry is None:
        return StepOn(step=step)
    return StepOn(step=step, state="done" if isinstance(entry, Done) else "skipped", at=entry.at)


def _outside(steps: Sequence[StepOn], hours: Hours | None, at: datetime, zone: str) -> bool:
    hands = [s for s in steps if s.state == "open" and not OF_ANY_HOUR.search(s.step.id)]
    return bool(hands) and hours is not None and not hours.holds(at, zone)


def _told(room: Room, tank: str) -> dict[str, Done | StepSkipped]:
    return {e.step: e for e in room.of_tank(tank) if isinstance(e, Done | StepSkipped) and e.step}


def _watched(room: Room, now: datetime, zone: str, facts: Facts) -> Iterator[DayMark]:
    for watch in open_watches(room, now, zone, facts):
        seen: Counter[tuple[str, int]] = Counter()
        for look in watch.looks:
            # Not by its day: a watch that begins anew moves its looks, it makes no second ones.
            which = look.organism, look.cycle
            seen[which] += 1
            parts = watch.course, watch.tank, look.organism or "days", look.cycle, seen[which]
            ident = "-".join(("watch", *map(str, parts)))
            yield DayMark(kind="watch", tank=watch.tank, on=look.on, id=ident, watch=watch, look=look)


def _newcomers(room: Room, now: datetime, zone: str, facts: Facts) -> Iterator[DayMark]:
    """Looks at newcomers by their days, and the day on which the days apart of each group are over."""
    today = day_of(now, zone)
    for one in newcomers(room, now, zone, facts):
        for look in one.looks:
            if look.on >= today - AFTER and not look.done:
                yield DayMark(
                    kind="newcomer-look", tank=one.tank, on=look.on, id=f"{look.rule}-{one.tank}",
                    days=look.day, what=look.what, status="common-practice",
                )  # fmt: skip
        if one.over >= today - AFTER:
            for ident in one.stock:
                yield DayMark(
                    kind="newcomers", tank=one.tank, on=one.over, id=f"newcomers-{ident}", stock=ident,
                    days=one.days, source=one.source, status=one.status,
                )  # fmt: skip
