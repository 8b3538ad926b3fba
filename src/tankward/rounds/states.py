"""How each tank stands, in one word: from its last looks, its course and its neighbours' net."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.room.entries.looks import Look
from tankward.room.replay import Room

from .contact import is_net, same_net
from .watch import ClearanceWatch

State = Literal["sick", "watch", "well", "unknown", "empty"]
SEEN_FRESH = timedelta(days=10)  # a sign older than this says nothing of today [common practice, no source]
NET_WATCH = timedelta(days=14)  # a shared net is watched for so long [common practice, no source]
ORDER: dict[str, int] = {"sick": 0, "watch": 1, "unknown": 2, "well": 3, "empty": 4}


class TankState(msgspec.Struct, frozen=True, kw_only=True):
    """One tank's word, with what it rests on."""

    tank: str
    state: State
    # in-course, signs, signs-few, odd, shared-net, after-course, met-ill, well, not-looked-at, nobody
    why: str
    signs: tuple[str, ...] = ()
    at: datetime | None = None
    course: str = ""
    other: str = ""  # the tank that it shared a net with, or met in another way


def state_of(room: Room, tank: str, now: datetime, watched: Iterable[ClearanceWatch] = ()) -> TankState:
    """The word for one tank; `watched`: the open watches of the room after courses."""
    course = room.courses.get(tank)
    name = course.name if course else ""
    if not room.stock_of(tank):
        return TankState(tank=tank, state="empty", why="nobody", course=name)
    look = _last_look(room, tank, now)
    if look is not None and look.seen:
        few = look.share == "one"
        return TankState(
            tank=tank,
            state="watch" if few else "sick",
            why="signs-few" if few else "signs",
            signs=look.seen,
            at=look.at,
            course=name,
        )
    if look is not None and look.well is False:
        return TankState(tank=tank, state="watch", why="odd", at=look.at, course=name)
    if course:
        return TankState(tank=tank, state="watch", why="in-course", at=course.at, course=name)
    shared = _shared_net(room, tank, now)
    if shared is not None:
        return TankState(tank=tank, state="watch", why="shared-net", at=shared[0], other=shared[1])
    after = next((w for w in watched if w.tank == tank), None)
    if after is not None:
        why = "met-ill" if after.how else "after-course"
        return TankState(tank=tank, state="watch", why=why, at=after.since, course=after.name, other=after.of)
    if look is None:
        return TankState(tank=tank, state="unknown", why="not-looked-at")
    return TankState(tank=tank, state="well", why="well", at=look.at)


def states(room: Room, now: datetime, watched: Iterable[ClearanceWatch] = ()) -> list[TankState]:
    """Every tank's word, worst first, then as they stand."""
    watched = tuple(watched)
    found = [state_of(room, tank, now, watched) for tank in room.tanks]
    return sorted(found, key=lambda s: ORDER[s.state])


def _last_look(room: Room, tank: str, now: datetime) -> Look | None:
    looks = [e for e in room.looks(tank) if now - e.at <= SEEN_FRESH]
    return looks[-1] if looks else None


def _shared_net(room: Room, tank: str, now: datetime) -> tuple[datetime, str] | None:
    """When this tank last shared its net with a tank in which signs were seen since, and with which."""
    own = [e for e in room.of_tank(tank) if is_net(e) and now - e.at <= NET_WATCH]
    for entry in reversed(own):
        for other in room.tanks:
            look = _last_look(room, other, now) if other != tank else None
            if (
                look is not None
                and look.seen
                and any(is_net(e) and same_net(e, entry) for e in room.of_tank(other))
            ):
                return entry.at, other
    return None
