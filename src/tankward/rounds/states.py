"""How each tank stands, in one word: from its last looks, its course and its neighbours' net."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.room.acts import Clean
from tankward.room.entries.acts import Done
from tankward.room.entries.looks import Look
from tankward.room.replay import Room

State = Literal["sick", "watch", "well", "unknown", "empty"]
SEEN_FRESH = timedelta(days=10)  # a sign older than this says nothing of today [common practice, no source]
NET_WATCH = timedelta(days=14)  # a shared net is watched for so long [common practice, no source]
ORDER: dict[str, int] = {"sick": 0, "watch": 1, "unknown": 2, "well": 3, "empty": 4}


class TankState(msgspec.Struct, frozen=True, kw_only=True):
    """One tank's word, with what it rests on."""

    tank: str
    state: State
    why: str  # in-course, signs, signs-few, odd, shared-net, well, not-looked-at, nobody
    signs: tuple[str, ...] = ()
    at: datetime | None = None
    course: str = ""
    other: str = ""  # the tank that it shared a net with


def state_of(room: Room, tank: str, now: datetime) -> TankState:
    """The word for one tank."""
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
    if look is None:
        return TankState(tank=tank, state="unknown", why="not-looked-at")
    return TankState(tank=tank, state="well", why="well", at=look.at)


def states(room: Room, now: datetime) -> list[TankState]:
    """Every tank's word, worst first, then as they stand."""
    found = [state_of(room, tank, now) for tank in room.tanks]
    return sorted(found, key=lambda s: ORDER[s.state])


def _last_look(room: Room, tank: str, now: datetime) -> Look | None:
    looks = [e for e in room.looks(tank) if now - e.at <= SEEN_FRESH]
    return looks[-1] if looks else None


def _shared_net(room: Room, tank: str, now: datetime) -> tuple[datetime, str] | None:
    """When this tank last shared its net with a tank in which signs were seen since, and with which."""
    own = [e for e in room.of_tank(tank) if _is_net(e) and now - e.at <= NET_WATCH]
    for entry in reversed(own):
        for other in room.tanks:
            look = _last_look(room, other, now) if other != tank else None
            if (
                look is not None
                and look.seen
                and any(_is_net(e) and _same(e, entry) for e in room.of_tank(other))
            ):
                return entry.at, other
    return None


def _is_net(entry: object) -> bool:
    return isinstance(entry, Done) and isinstance(entry.act, Clean) and entry.act.what == "net"


def _same(one: object, other: object) -> bool:
    """Two entries about one net on one day."""
    if not (isinstance(one, Done) and isinstance(other, Done)):
        return False
    return (
        isinstance(one.act, Clean)
        and isinstance(other.act, Clean)
        and one.act.how == other.act.how
        and one.at.date() == other.at.date()
    )
