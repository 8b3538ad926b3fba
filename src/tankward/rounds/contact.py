"""What two tanks had in common: a net on one day, their water, animals that were moved. One step far."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Literal

import msgspec

from tankward.room.acts import Clean, Move
from tankward.room.entries.acts import Done
from tankward.room.replay import Room

How = Literal["net", "water", "moved"]


class Met(msgspec.Struct, frozen=True, kw_only=True):
    """One tank that met another: when last, and by what."""

    tank: str
    at: datetime
    how: How


def is_net(entry: object) -> bool:
    """Whether it tells of a net."""
    return isinstance(entry, Done) and isinstance(entry.act, Clean) and entry.act.what == "net"


def same_net(one: object, other: object) -> bool:
    """Two entries about one net on one day."""
    if not (isinstance(one, Done) and isinstance(other, Done)):
        return False
    return (
        isinstance(one.act, Clean)
        and isinstance(other.act, Clean)
        and one.act.how == other.act.how
        and one.at.date() == other.at.date()
    )


def system_of(room: Room, tank: str) -> str:
    """The body of water that a tank belongs to."""
    known = room.tanks.get(tank)
    return (known.system if known else "") or tank


def met(room: Room, tank: str, since: datetime, until: datetime) -> tuple[Met, ...]:
    """Tanks that had something in common with this one within a time, each by its last contact.

    Of a net only what was told of both tanks counts. Moved animals carry it further than a net does: where
    both were, the move is told.
    """
    found: dict[str, Met] = {}
    for one in _all(room, tank, since, until):
        known = found.get(one.tank)
        if known is None or (one.how == "moved", one.at) > (known.how == "moved", known.at):
            found[one.tank] = one
    return tuple(found.values())


def _all(room: Room, tank: str, since: datetime, until: datetime) -> Iterator[Met]:
    water = system_of(room, tank)
    own = [e for e in room.of_tank(tank) if since <= e.at <= until]
    nets = [e for e in own if is_net(e)]
    for other in room.tanks:
        if other == tank:
            continue
        if system_of(room, other) == water:
            yield Met(tank=other, at=until, how="water")
        if nets:
            theirs = [e for e in room.of_tank(other) if is_net(e)]
            yield from (
                Met(tank=other, at=e.at, how="net") for e in theirs if any(same_net(e, n) for n in nets)
            )
    for entry in own:
        if isinstance(entry, Done) and isinstance(entry.act, Move) and entry.act.to in room.tanks:
            yield Met(tank=entry.act.to, at=entry.at, how="moved")
    for entry in room.log:
        came = isinstance(entry, Done) and isinstance(entry.act, Move) and entry.act.to == tank
        if came and entry.tank in room.tanks and entry.tank != tank and since <= entry.at <= until:
            yield Met(tank=entry.tank, at=entry.at, how="moved")
