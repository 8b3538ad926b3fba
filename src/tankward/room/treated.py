"""The courses that a tank was given, each with how it ended, as the logbook tells it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import msgspec

from .acts import LookAgain
from .entries.acts import CourseBegun, CourseStopped, Done, Step, StepSkipped
from .entries.base import Entry
from .entries.ends import CourseClosed
from .replay import Room


class Treated(msgspec.Struct, frozen=True, kw_only=True):
    """One course with what became of it. None: not stopped, not closed."""

    begun: CourseBegun
    stopped: CourseStopped | None = None
    closed: CourseClosed | None = None
    next_at: datetime | None = None  # another began in its place then
    told: dict[str, Done | StepSkipped] = {}  # step -> what ticked it off or left it out

    @property
    def tank(self) -> str:
        return self.begun.tank

    @property
    def runs(self) -> bool:
        """Whether nobody has ended it."""
        return self.stopped is None and self.closed is None and self.next_at is None

    @property
    def outcome(self) -> str:
        """As the keeper told it; "" where it was not closed."""
        return self.closed.outcome if self.closed else ""

    @property
    def cause(self) -> str:
        """What the keeper believes it was; else what the course was begun against; "" not known."""
        return (self.closed.cause if self.closed else "") or self.begun.cause

    @property
    def steps(self) -> tuple[Step, ...]:
        """Its steps that do something, in order of time; a look does nothing."""
        acting = (s for s in self.begun.steps if not isinstance(s.act, LookAgain))
        return tuple(sorted(acting, key=lambda s: s.at))

    @property
    def planned_end(self) -> datetime:
        """When its last step was due that does something."""
        return self.steps[-1].at if self.steps else self.begun.at

    @property
    def stopped_at(self) -> datetime | None:
        """When it was ended before that; None where it was not."""
        ends = [e for e in (self.stopped.at if self.stopped else None, self.next_at) if e is not None]
        early = min(ends, default=None)
        return early if early is not None and early < self.planned_end else None

    @property
    def last_given(self) -> datetime:
        """When something was last done of it: by its ticks, else as it was planned, cut at its end."""
        done = [e.at for s in self.steps if isinstance(e := self.told.get(s.id), Done)]
        if done:
            return max(done)
        ended = min(
            (e for e in (self.stopped_at, self.closed.at if self.closed else None) if e), default=None
        )
        return self.planned_end if ended is None else min(self.planned_end, ended)

    @property
    def over_at(self) -> datetime | None:
        """When it no longer ran; None while it runs."""
        told = (self.stopped, self.closed)
        return min((*(e.at for e in told if e), *((self.next_at,) if self.next_at else ())), default=None)


def treated(room: Room, tank: str) -> tuple[Treated, ...]:
    """Every course of a tank, oldest first."""
    entries = room.of_tank(tank)
    found: dict[str, Treated] = {}
    runs = ""
    for entry in entries:
        if isinstance(entry, CourseBegun):
            if runs:
                found[runs] = msgspec.structs.replace(found[runs], next_at=entry.at)
            found[entry.id], runs = Treated(begun=entry, told=_told(entry, entries)), entry.id
        elif isinstance(entry, CourseStopped) and (entry.course or runs) in found:
            which = entry.course or runs
            found[which] = msgspec.structs.replace(found[which], stopped=entry)
            runs = "" if which == runs else runs
        elif isinstance(entry, CourseClosed) and found:
            which = entry.course or runs or next(reversed(found))
            if which in found:
                found[which] = msgspec.structs.replace(found[which], closed=entry)
            runs = "" if which == runs else runs
    return tuple(found.values())


def _told(begun: CourseBegun, entries: list[Entry]) -> dict[str, Done | StepSkipped]:
    own = {s.id for s in begun.steps}
    since = (e for e in entries if isinstance(e, Done | StepSkipped) and e.at >= begun.at)
    return {e.step: e for e in since if e.step in own}


def unclosed(room: Room, tank: str) -> Treated | None:
    """The course that waits for its outcome: the one that runs, else the last one if it was stopped."""
    found = treated(room, tank)
    last = found[-1] if found else None
    return last if last is not None and last.closed is None else None


def closed(room: Room) -> Iterator[Treated]:
    """Every course of the room whose outcome was told, tank by tank."""
    tanks = dict.fromkeys(e.tank for e in room.log if isinstance(e, CourseClosed))
    for tank in tanks:
        yield from (t for t in treated(room, tank) if t.closed)
