"""What two tanks had in common: a net on one day, their water, animals that were moved. One step far."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Literal

import msgspec

from tankward.room.acts import Clean, Move
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import StockAdded
from tankward.room.replay import Room

How = Literal["net", "water", "moved"]


class Traffic(msgspec.Struct, frozen=True):
    """What went from tank to tank in a room, gathered once: moves, newcomers by tank, nets by tank."""

    moves: tuple[Done, ...]
    came: dict[str, tuple[StockAdded | Done, ...]]  # oldest first
    nets: dict[str, tuple[Done, ...]]

    @classmethod
    def of(cls, room: Room) -> Traffic:
        """All of it; a group described anew is no newcomer."""
        moves: list[Done] = []
        came: dict[str, list[StockAdded | Done]] = {}
        nets: dict[str, list[Done]] = {}
        known: set[str] = set()
        for entry in room.log:
            if isinstance(entry, StockAdded):
                if entry.thing.id not in known:
                    came.setdefault(entry.tank, []).append(entry)
                known.add(entry.thing.id)
            elif isinstance(entry, Done) and isinstance(entry.act, Move):
                moves.append(entry)
                came.setdefault(entry.act.to, []).append(entry)
            elif isinstance(entry, Done) and is_net(entry):
                nets.setdefault(entry.tank, []).append(entry)
        return cls(
            tuple(moves), {t: tuple(e) for t, e in came.items()}, {t: tuple(e) for t, e in nets.items()}
        )


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


def met(
    room: Room, tank: str, since: datetime, until: datetime, traffic: Traffic | None = None
) -> tuple[Met, ...]:
    """Tanks that had something in common with this one within a time, each by its last contact.

    Of a net only what was told of both tanks counts. Moved animals carry it further than a net does: where
    both were, the move is told.
    """
    found: dict[str, Met] = {}
    for one in _all(room, tank, since, until, traffic or Traffic.of(room)):
        known = found.get(one.tank)
        if known is None or (one.how == "moved", one.at) > (known.how == "moved", known.at):
            found[one.tank] = one
    return tuple(found.values())


def _all(room: Room, tank: str, since: datetime, until: datetime, traffic: Traffic) -> Iterator[Met]:
    water = system_of(room, tank)
    nets = [e for e in traffic.nets.get(tank, ()) if since <= e.at <= until]
    for other in room.tanks:
        if other == tank:
            continue
        if system_of(room, other) == water:
            yield Met(tank=other, at=until, how="water")
        theirs = traffic.nets.get(other, ()) if nets else ()
        yield from (Met(tank=other, at=e.at, how="net") for e in theirs if any(same_net(e, n) for n in nets))
    for entry in traffic.moves:
        if not since <= entry.at <= until or not isinstance(entry.act, Move):
            continue
        other = entry.act.to if entry.tank == tank else entry.tank if entry.act.to == tank else ""
        if other in room.tanks and other != tank:
            yield Met(tank=other, at=entry.at, how="moved")
