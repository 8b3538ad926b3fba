"""Who may have been reached by what is in a tank: chains of links in the order of time, each with its chance.

The chance is judged, and says: if it is in there, and was there at that time. No look that found nothing
says that a tank was not reached.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.knowledge.records.organism import Way
from tankward.quantities.parse import Estimate
from tankward.room.acts import Move, Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import StockAdded
from tankward.room.replay import Room
from tankward.treat.remedies.reach import organisms_of

from .watch import WatchLook, dated, days_of, quarantine_d, tells, told_by, warmth
from .ways import Link, hands, links, same_water, way_of

MOST_STEPS = 3  # further than that nobody follows it [our own choice]
LEAST = 0.02  # a chain that is unlikelier than that at its high end is not told [our own choice]
AWAY = ("sold", "given")


class Chance(msgspec.Struct, frozen=True, kw_only=True):
    """How likely it was carried on by a way, if it was there. `known`: the facts speak of this organism."""

    low: float
    high: float
    known: bool
    source: str
    status: Status


class Likely(msgspec.Struct, frozen=True, kw_only=True):
    """How likely a whole chain carried one cause on. `cause`: "" where nobody can say what it is."""

    cause: str
    chance: Estimate
    known: bool
    sources: tuple[str, ...]
    status: Status


class Contact(msgspec.Struct, frozen=True, kw_only=True):
    """One tank that may have been reached: by which chain, how likely, when last, until when to watch it."""

    tank: str
    path: tuple[Link, ...]
    at: datetime  # of the last time it could get there
    often: int  # how many links led there
    each: tuple[Likely, ...]  # of each cause that is open, in their order; one for all where none is
    looks: tuple[WatchLook, ...]
    seen: tuple[str, ...] = ()  # signs seen there since, of those that were seen in the first tank
    last_look: datetime | None = None  # when it was last told that such a sign is not there

    @property
    def first(self) -> Likely:
        """Of the cause that stands first."""
        return self.each[0]

    @property
    def most(self) -> float:
        """The high end over all causes that are open."""
        return max(e.chance.high for e in self.each)

    @property
    def by_hand(self) -> bool:
        """Whether hands and drips alone led there."""
        return self.path[-1].way == "hands"

    @property
    def until(self) -> date:
        return max(look.on for look in self.looks)


class Origin(msgspec.Struct, frozen=True, kw_only=True):
    """A way by which it may have come in. `tank` "": with newcomers, whose source is told in `what`."""

    tank: str
    at: datetime
    way: Way
    what: str = ""


class Gone(msgspec.Struct, frozen=True, kw_only=True):
    """Animals that left the room meanwhile: sold, given; or to a tank that was wound down since."""

    stock: str
    number: float | None
    at: datetime
    why: str


class Reach(msgspec.Struct, frozen=True, kw_only=True):
    """All that one tank may have reached since a moment."""

    tank: str
    causes: tuple[str, ...]  # what may be in it, the likeliest first; () not known
    signs: tuple[str, ...]
    first_seen: datetime | None  # when a sign of it was first seen; None: nothing was
    since: datetime  # it is counted as there from then
    contacts: tuple[Contact, ...]  # the likeliest first
    gone: tuple[Gone, ...]
    came: tuple[Origin, ...] = ()  # the same graph read the other way, one step: the newest first


class _Path(msgspec.Struct, frozen=True):
    at: datetime
    links: tuple[Link, ...]
    each: tuple[Estimate, ...]  # by cause

    @property
    def rank(self) -> tuple[float, datetime]:
        """The likelier for the cause that stands first, then the later."""
        return self.each[0].value, self.at


def reached(
    room: Room,
    tank: str,
    causes: tuple[str, ...],
    signs: tuple[str, ...],
    first_seen: datetime | None,
    since: datetime,
    now: datetime,
    zone: str,
    facts: Facts,
) -> Reach:
    """Everybody that what is in a tank may have reached.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        The tank asked about.
    causes : tuple of str
        What may be in it, of what fish catch, the likeliest first; () not known.
    signs : tuple of str
        By which it would be known.
    first_seen : datetime or None
        When one of them was first seen there.
    since : datetime
        From when it is counted as there.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        How each organism gets about, and how long its life takes.

    Notes
    -----
    Chains respect time: what left a tank before anything could have come into it carried nothing. Of several
    chains to one tank the likeliest is told, and the last time by any of them counts for the watch.
    """
    paths = _spread(room, tank, causes, since, now, facts)
    found = [
        _contact(room, other, chains, causes, signs, now, zone, facts)
        for other, chains in paths.items()
        if other != tank and other in room.tanks
    ]
    kept = sorted(
        (c for c in found if c.most >= LEAST),
        key=lambda c: (c.by_hand, -c.first.chance.value, *_stands(room, c.tank)),
    )
    return Reach(
        tank=tank, causes=causes, signs=signs, first_seen=first_seen, since=since,
        contacts=tuple(kept),
        gone=_gone(room, tank, since, now), came=origins(room, tank, first_seen or now, facts),
    )  # fmt: skip


def _stands(room: Room, tank: str) -> tuple[int, str]:
    return room.tanks[tank].place, room.tanks[tank].name


def chances(way: str, causes: Sequence[str], facts: Facts) -> tuple[Chance, ...]:
    """Of each cause, how likely one contact by this way carries it on; one for all where none is known."""
    return tuple(_of_cause(way, c, facts) for c in causes) or (_usual(way, facts),)


def _of_cause(way: str, cause: str, facts: Facts) -> Chance:
    """By the organism's own ways; the easiest of several organisms. Where the facts are silent: the usual."""
    rows = [s for o in organisms_of((cause,), facts) for s in o.spread if way in s.by]
    levels = {r.id: r for r in facts.hygiene.spread_level}
    known = [
        Chance(low=r.low, high=r.high, known=True, source=s.source, status=r.status)
        for s in rows
        if (r := levels.get(s.how_much)) is not None and r.low is not None and r.high is not None
    ]
    return max(known, key=lambda c: c.high, default=_usual(way, facts))


def _usual(way: str, facts: Facts) -> Chance:
    row = next(r for r in facts.hygiene.contact if r.id == way)
    assert row.low is not None and row.high is not None
    return Chance(low=row.low, high=row.high, known=False, source=row.source, status=row.status)


def _estimate(one: Chance) -> Estimate:
    return Estimate((one.low + one.high) / 2.0, one.low, one.high)


def _times(one: Estimate, other: Estimate) -> Estimate:
    return Estimate(one.value * other.value, one.low * other.low, one.high * other.high)


class _Found(msgspec.Struct):
    """Every chain to one tank, as far as it matters: the likeliest, the first and the last time, how many."""

    best: _Path
    first: datetime
    last: datetime
    often: int = 1

    def take(self, path: _Path) -> None:
        """One more. Hands and drips add no new day to a stronger way."""
        self.often += 1
        weak = path.links[-1].way == "hands" and self.best.links[-1].way != "hands"
        if path.rank > self.best.rank:
            self.best = path
        self.first = min(self.first, path.at)
        self.last = self.last if weak else max(self.last, path.at)


def _spread(
    room: Room, tank: str, causes: tuple[str, ...], since: datetime, now: datetime, facts: Facts
) -> dict[str, _Found]:
    """Tank -> the chains that led there. Hands are followed from the tank itself alone."""
    sure = (Estimate.exact(1.0),) * max(len(causes), 1)
    start = _Path(since, (), sure)
    found: dict[str, _Found] = {}
    by_way: dict[str, tuple[Estimate, ...]] = {}

    def offer(link: Link) -> None:
        before = start if link.source == tank else found[link.source].best if link.source in found else None
        # What came out of a tank is not carried back into it.
        if before is None or before.at > link.at or len(before.links) >= MOST_STEPS:
            return
        if link.to in {tank, *(k.to for k in before.links)}:
            return
        if link.way not in by_way:
            by_way[link.way] = tuple(_estimate(c) for c in chances(link.way, causes, facts))
        each = tuple(map(_times, before.each, by_way[link.way]))
        path = _Path(link.at, (*before.links, link), each)
        if link.to in found:
            found[link.to].take(path)
        else:
            found[link.to] = _Found(path, link.at, link.at)
        if link.way != "water":
            for other in same_water(room, link.to):
                offer(Link(source=link.to, to=other, at=link.at, way="water"))

    for other in same_water(room, tank):
        offer(Link(source=tank, to=other, at=since, way="water"))
    for link in (*links(room, since, now, facts), *hands(room, tank, since, now)):
        offer(link)
    return found


def _contact(
    room: Room,
    tank: str,
    chains: _Found,
    causes: tuple[str, ...],
    signs: tuple[str, ...],
    now: datetime,
    zone: str,
    facts: Facts,
) -> Contact:
    best = chains.best
    # The same water is met as long as it is the same.
    at = now if any(k.way == "water" for k in best.links) else chains.last
    days = days_of(causes, warmth(room, tank), facts, once=True)
    clean = tuple(k for k in room.looks(tank) if at < k.at <= now and signs and tells(k, signs))
    looks = tuple(told_by(dated(days, at, zone), clean, zone))
    seen = tuple(
        dict.fromkeys(
            s for k in room.looks(tank) if chains.first <= k.at <= now for s in k.seen if s in signs
        )
    )
    return Contact(
        tank=tank, path=best.links, at=at, often=chains.often, each=_each(best, causes, facts),
        looks=looks, seen=seen, last_look=clean[-1].at if clean else None,
    )  # fmt: skip


def _each(path: _Path, causes: tuple[str, ...], facts: Facts) -> tuple[Likely, ...]:
    by_link = [chances(link.way, causes, facts) for link in path.links]
    rows = []
    for n, cause in enumerate(causes or ("",)):
        told = [link[n] for link in by_link]
        rows.append(
            Likely(
                cause=cause, chance=path.each[n], known=bool(cause) and all(c.known for c in told),
                sources=_keys(told), status="memory",
            )
        )  # fmt: skip
    return tuple(rows)


def _keys(told: Iterable[Chance]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(k for c in told for k in c.source.split() if k != "none"))


def origins(room: Room, tank: str, seen: datetime, facts: Facts) -> tuple[Origin, ...]:
    """What came into a tank in the weeks before a sign was first seen there, or before now.

    As long back as the usual days of a quarantine: what hides longer, as red worms do, may be older.
    """
    since = seen - timedelta(days=quarantine_d(facts))
    found = [
        Origin(tank=k.source, at=k.at, way=k.way, what=k.what)
        for k in links(room, since, seen, facts)
        if k.to == tank
    ]
    found += [Origin(tank=t, at=seen, way="water") for t in same_water(room, tank)]
    known: set[str] = set()
    for entry in room.log:
        if not isinstance(entry, StockAdded) or entry.tank != tank:
            continue
        at = entry.at - timedelta(days=entry.thing.arrived_d or 0.0)
        if entry.thing.id not in known and since <= at <= seen:
            found.append(Origin(tank="", at=at, way=way_of(room, entry.thing.id, facts), what=entry.thing.id))
        known.add(entry.thing.id)
    return tuple(sorted(found, key=lambda o: (-o.at.timestamp(), o.tank)))


def _gone(room: Room, tank: str, since: datetime, now: datetime) -> tuple[Gone, ...]:
    found = []
    for entry in room.of_tank(tank):
        if not isinstance(entry, Done) or not since <= entry.at <= now:
            continue
        act = entry.act
        if isinstance(act, Remove) and act.why in AWAY:
            found.append(Gone(stock=act.stock, number=act.number, at=entry.at, why=act.why))
        elif isinstance(act, Move) and act.to not in room.tanks:
            found.append(Gone(stock=act.stock, number=act.number, at=entry.at, why="wound-down"))
    return tuple(found)
