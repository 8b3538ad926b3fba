"""The cases of a tank or a room: what was seen, what it was taken for, what was done, how it ended."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.room.acts import Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Death
from tankward.room.entries.base import Entry
from tankward.room.entries.missing import NotFound
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.room.treated import Treated, treated
from tankward.rounds.watch import BEFORE
from tankward.treat.supplies import Need, given


class PastCase(msgspec.Struct, frozen=True, kw_only=True):
    """One course with what stood around it. `tank_name`: as it is called now, or was."""

    tank: str
    tank_name: str
    course: Treated
    signs: tuple[str, ...]  # seen in the two weeks before it and while it ran
    days: int
    dead: int  # found dead or not found from two weeks before it to its end
    needs: tuple[Need, ...]  # of packets, by the ticks

    @property
    def at(self) -> datetime:
        return self.course.begun.at


def cases_of(room: Room, now: datetime, zone: str, tank: str = "") -> tuple[PastCase, ...]:
    """Every course that is over, the newest first; of one tank where it is named.

    Parameters
    ----------
    room : Room
        As it stands.
    now : datetime
        What began later is left out.
    zone : str
        Of the keeper's wall clock, by which days are counted.
    tank : str
        Its id; "" for all.
    """
    tanks = [tank] if tank else dict.fromkeys(e.tank for e in room.log if e.tank)
    found = [
        _case(room, one, now, zone)
        for t in tanks
        for one in treated(room, t)
        if not one.runs and one.begun.at <= now
    ]
    return tuple(sorted(found, key=lambda c: c.at, reverse=True))


def _case(room: Room, one: Treated, now: datetime, zone: str) -> PastCase:
    since = one.begun.at - BEFORE
    ends = [e.at for e in (one.closed, one.stopped) if e is not None]
    until = min(max([one.last_given, *ends]), now)
    looks = [k for k in room.looks(one.tank) if since <= k.at <= until]
    within = [e for e in room.of_tank(one.tank) if since <= e.at <= until]
    return PastCase(
        tank=one.tank,
        tank_name=room.tanks[one.tank].name if one.tank in room.tanks else one.tank,
        course=one,
        signs=tuple(dict.fromkeys(s for k in looks for s in k.seen)),
        days=(day_of(one.last_given, zone) - day_of(one.begun.at, zone)).days + 1,
        dead=dead_of(within),
        needs=given(room, one),
    )


def dead_of(entries: list[Entry]) -> int:
    """How many died, went missing or were ended; a body told of before and taken out counts once."""
    found = [e for e in entries if isinstance(e, Death)]
    left_in = sum(e.number for e in found if e.taken_out is not True)
    out = [e.act for e in entries if isinstance(e, Done) and isinstance(e.act, Remove)]
    bodies = sum(a.number for a in out if a.why == "dead")
    gone = sum(e.number for e in entries if isinstance(e, NotFound))
    ended = sum(a.number for a in out if a.why == "ended")
    return round(sum(e.number for e in found) + max(bodies - left_in, 0) + gone + ended)
