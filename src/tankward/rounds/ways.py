"""Every way by which something went from tank to tank, one link each: exposure is read from this graph."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import combinations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Way
from tankward.room.acts import Clean, Move
from tankward.room.entries.acts import Done
from tankward.room.replay import Room

from .contact import is_net, same_net, system_of

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
    days: dict[tuple[date, str, str], list[Done]] = {}
    for entry in room.log:
        if isinstance(entry, Done) and since <= entry.at <= until and is_tool(entry):
            assert isinstance(entry.act, Clean)
            days.setdefault((entry.at.date(), entry.act.what, entry.act.how), []).append(entry)
    for told in days.values():
        for one, other in combinations(told, 2):
            if one.tank == other.tank or not same_net(one, other):
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


def hands(room: Room, tank: str, since: datetime, until: datetime) -> tuple[Link, ...]:
    """Tanks that were looked at soon after this one in a round, each by the last time."""
    own = [k.at for k in room.looks(tank) if since <= k.at <= until]
    found: dict[str, Link] = {}
    for other in room.tanks:
        if other == tank or not own:
            continue
        for look in room.looks(other):
            before = bisect_left(own, look.at) - 1
            if before >= 0 and look.at <= min(own[before] + SOON_AFTER, until):
                found[other] = Link(source=tank, to=other, at=look.at, way="hands")
    return tuple(found.values())
