"""Every way by which something went from tank to tank, one link each: exposure is read from this graph."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import combinations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Way
from tankward.room.acts import Clean, Move
from tankward.room.entries.acts import Done
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.time import day_of

from .contact import is_net, same_net, system_of
from .states import LATE_NIGHT

SOON_AFTER = timedelta(hours=1)  # hands are wet so long from tank to tank in a round [our own choice]
CARRIERS = ("shrimp", "snail", "crayfish")


class Link(msgspec.Struct, frozen=True, kw_only=True):
    """Something that went from one tank into another, or may have. `what`: the group, or the tool by name."""

    source: str
    to: str
    at: datetime
    way: Way
    what: str = ""


def links(room: Room, since: datetime, until: datetime, facts: Facts) -> tuple[Link, ...]:
    """Every link within a time, oldest first; what shares its water is asked for apart, it always does."""
    found = [
        *_moves(room, since, until, facts),
        *_tools(room, since, until),
    ]
    return tuple(sorted(found, key=lambda k: (k.at, k.to)))


def same_water(room: Room, tank: str) -> tuple[str, ...]:
    """The other tanks on the same water."""
    water = system_of(room, tank)
    return tuple(t for t in room.tanks if t != tank and system_of(room, t) == water)


def _moves(room: Room, since: datetime, until: datetime, facts: Facts) -> Iterator[Link]:
    for entry in room.log:
        if isinstance(entry, Done) and isinstance(entry.act, Move) and since <= entry.at <= until:
            stock = entry.act.stock
            yield Link(
                source=entry.tank, to=entry.act.to, at=entry.at, way=way_of(room, stock, facts), what=stock
            )


def way_of(room: Room, stock: str, facts: Facts) -> Way:
    """What a group is as a way: plants and what crawls carry less than fish; what nobody can name is fish."""
    kind = room.stock[stock].kind if stock in room.stock else ""
    if kind in facts.plants:
        return "plants"
    known = facts.animals.get(kind)
    return "snails" if known is not None and known.kind in CARRIERS else "fish"


def _tools(room: Room, since: datetime, until: datetime) -> Iterator[Link]:
    """One net, hose or bucket told of two tanks on one day: whichever came first, it lay wet between them."""
    told = [e for e in room.log if isinstance(e, Done) and since <= e.at <= until and is_tool(e)]
    for one, other in combinations(told, 2):
        if one.tank == other.tank or not same_tool(one, other):
            continue
        assert isinstance(one.act, Clean)
        way: Way = "net" if is_net(one) else "siphon"
        at = max(one.at, other.at)
        yield Link(source=one.tank, to=other.tank, at=at, way=way, what=one.act.how)
        yield Link(source=other.tank, to=one.tank, at=at, way=way, what=one.act.how)


def is_tool(entry: Done) -> bool:
    """Whether it tells of a net, or of another thing that has a name of its own: a hose, a bucket."""
    act = entry.act
    return isinstance(act, Clean) and (act.what == "net" or (act.what == "other" and bool(act.how.strip())))


def same_tool(one: Done, other: Done) -> bool:
    """Two entries about one tool on one day."""
    if not (isinstance(one.act, Clean) and isinstance(other.act, Clean)):
        return False
    return one.act.what == other.act.what and same_net(one, other)


def hands(room: Room, tank: str, since: datetime, until: datetime, zone: str) -> tuple[Link, ...]:
    """Tanks that were looked at soon after this one in a round, each by the last time."""
    own = [k for k in room.looks(tank) if since <= k.at <= until]
    found: dict[str, Link] = {}
    for other in room.tanks:
        if other == tank:
            continue
        for look in room.looks(other):
            if any(_after(look, k, zone) for k in own):
                found[other] = Link(source=tank, to=other, at=look.at, way="hands")
    return tuple(found.values())


def _after(look: Look, first: Look, zone: str) -> bool:
    same_day = day_of(look.at - LATE_NIGHT, zone) == day_of(first.at - LATE_NIGHT, zone)
    return same_day and first.at < look.at <= first.at + SOON_AFTER
