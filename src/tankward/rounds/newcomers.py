"""Newcomers apart: from when their days count, the looks by their days, when they may join. Safety rule 27.

Worked out from what was written down: who came when, looks, deaths. Nothing here says that they are free of
anything; the end is the end of what the rules ask.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from math import ceil

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import Rule
from tankward.quantities.parse import Estimate
from tankward.room.entries.animals import Death, StockAdded
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.time import day_of
from tankward.treat.course.watching import cycle_d, first_seen_d
from tankward.treat.remedies.transfers import USUAL_C

from .watch import warmth
from .ways import CARRIERS

BORN_HERE = ("egg", "fry")  # taken as hatched in the room: no newcomers [our own choice]
USUAL, COOL, PLANTS, SHRIMP, NO_SIGN = "trade", "cool", "plants", "shrimp_snails", "rel1"
COOL_C = 20.0  # below it the rule for cool water holds
COLD_WATER = "goldfish"
RED_WORMS = "camallanus"
SIGNS = {  # what a look at a place answers for
    "droppings": ("white_stringy_faeces", "bloody_faeces", "segments_in_faeces"),
    "vents": ("worms_at_vent",),
}


class NewcomerLook(msgspec.Struct, frozen=True, kw_only=True):
    """One look by its day. `done`: the entry that was it; "" while it is open."""

    on: date
    rule: str
    what: str  # droppings, vents
    day: int
    done: str = ""


class Apart(msgspec.Struct, frozen=True, kw_only=True):
    """The newcomers of one tank. `since`: their days count from then; `over`: when they may join, at the
    earliest; `open_until`: worms that hide so long may still come to light until then.
    """

    tank: str
    stock: tuple[str, ...]
    sources: tuple[str, ...]  # each once; "" not told
    residents: tuple[str, ...]  # who was there already: they are not apart
    first: datetime
    since: datetime
    restarted: str = ""  # newcomer, sign: what made the days begin anew
    last_sign: datetime | None = None
    signs: tuple[str, ...] = ()
    last_death: datetime | None = None
    rule: str
    days: float
    over: date
    open_until: date | None
    looks: tuple[NewcomerLook, ...]
    source: str
    status: str

    def day(self, now: datetime, zone: str) -> int:
        """The day that it is, 1 on the day on which they came."""
        return (day_of(now, zone) - day_of(self.since, zone)).days + 1

    def runs(self, today: date) -> bool:
        """Whether they stay apart."""
        return today < self.over

    def watched(self, today: date) -> bool:
        """Whether they stay apart, or worms may still come to light."""
        return self.runs(today) or (self.open_until is not None and today < self.open_until)

    def due(self, today: date) -> tuple[NewcomerLook, ...]:
        """Looks whose day has come and that nobody did."""
        return tuple(look for look in self.looks if look.on <= today and not look.done)


def newcomers(room: Room, now: datetime, zone: str, facts: Facts) -> tuple[Apart, ...]:
    """Every tank with newcomers that are apart, or still watched for worms.

    Parameters
    ----------
    room : Room
        As it stands.
    now : datetime
        The moment.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        How long, and by which looks.
    """
    found = (newcomers_in(room, tank, now, zone, facts) for tank in room.tanks)
    return tuple(one for one in found if one is not None)


def newcomers_in(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> Apart | None:
    """The newcomers of one tank; None where nobody is written down as one."""
    came = _came(room, tank, now)
    if not came:
        return None
    groups = [room.stock[ident] for ident in came]
    rule = rule_for(groups, warmth(room, tank), facts)
    clean_d = _high(_rule(facts.hygiene.quarantine_release, NO_SIGN))
    recent = {i: at for i, at in came.items() if at >= now - timedelta(days=365)}
    if not recent:
        return None
    at = _told(room, tank, recent, now, _high(rule))
    over = max(
        day_of(at.since, zone) + timedelta(days=ceil(_high(rule))),
        *(day_of(e, zone) + timedelta(days=ceil(clean_d)) for e in (at.last_sign, at.last_death) if e),
        date.min,
    )
    looks = tuple(looks_of(day_of(at.since, zone), groups, facts))
    others = [s.id for s in room.stock_of(tank) if s.id not in recent and s.kind not in facts.plants]
    return Apart(
        tank=tank, stock=tuple(recent), sources=tuple(dict.fromkeys(room.stock[i].source for i in recent)),
        residents=tuple(others),
        first=min(recent.values()), since=at.since, restarted=at.restarted, last_sign=at.last_sign,
        signs=at.signs, last_death=at.last_death, rule=rule.id, days=_high(rule), over=over,
        open_until=_open_until(day_of(at.since, zone), groups, warmth(room, tank), facts),
        looks=tuple(_done(look, room.looks(tank), zone) for look in looks),
        source=rule.source, status=rule.status,
    )  # fmt: skip


def _came(room: Room, tank: str, now: datetime) -> dict[str, datetime]:
    """Groups of a tank that came in, each with the moment; hatched here is no newcomer."""
    found: dict[str, datetime] = {}
    for group in room.stock_of(tank):
        for entry in room.of_group(group.id):
            if not isinstance(entry, StockAdded) or entry.thing.arrived_d is None or entry.at > now:
                continue
            if entry.thing.stage not in BORN_HERE and not _from_here(entry.thing.source, room):
                found[group.id] = entry.at - timedelta(days=entry.thing.arrived_d)
    return found


def _from_here(source: str, room: Room) -> bool:
    """Whether they are told to be of a tank of this room: "eggs of T4"."""
    said = {w.strip(".,;:()").casefold() for w in source.split()}
    return any(t.name.casefold() in said for t in room.tanks.values())


class _Clock(msgspec.Struct, frozen=True, kw_only=True):
    since: datetime
    restarted: str
    last_sign: datetime | None
    signs: tuple[str, ...]
    last_death: datetime | None


def _told(room: Room, tank: str, came: dict[str, datetime], now: datetime, days: float) -> _Clock:
    """What happened since they came: a newcomer or a sign makes the days begin anew, while they last."""
    since, restarted = min(came.values()), ""
    last_sign: datetime | None = None
    signs: dict[str, None] = {}
    events: list[tuple[datetime, Look | None]] = [(at, None) for at in came.values()]
    events += [(k.at, k) for k in room.looks(tank) if since < k.at <= now and k.seen]
    lasts = timedelta(days=days)
    for at, look in sorted(events, key=lambda e: e[0]):
        if at <= since or at > since + lasts:
            continue
        since, restarted = at, "sign" if look else "newcomer"
        if look:
            last_sign = at
            signs |= dict.fromkeys(look.seen)
    until = min(now, since + lasts)
    died = (e for e in room.of_tank(tank) if isinstance(e, Death) and since <= e.at <= until)
    dead = [e.at for e in died if not e.stock or e.stock in came]
    return _Clock(
        since=since, restarted=restarted, last_sign=last_sign, signs=tuple(signs),
        last_death=max(dead, default=None),
    )  # fmt: skip


def rule_for(groups: Iterable[Stock], temp_c: Estimate | None, facts: Facts) -> Rule:
    """How long: fish by the usual rule, longer in cool water; what crawls and plants by their own."""
    groups = tuple(groups)
    kinds = {_kind(s, facts) for s in groups}
    rules = facts.hygiene.quarantine
    if kinds <= {"plant"}:
        return _rule(rules, PLANTS)
    if kinds <= {"plant", "carrier"}:
        return _rule(rules, SHRIMP)
    cold = any(s.kind in facts.animals and facts.animals[s.kind].group == COLD_WATER for s in groups)
    cool = temp_c is not None and temp_c.value < COOL_C
    return _rule(rules, COOL if cold or cool else USUAL)


def _kind(stock: Stock, facts: Facts) -> str:
    if stock.kind in facts.plants:
        return "plant"
    known = facts.animals.get(stock.kind)
    return "carrier" if known is not None and known.kind in CARRIERS else "fish"


def looks_of(start: date, groups: Iterable[Stock], facts: Facts) -> Iterator[NewcomerLook]:
    """The looks that have a day of their own; each day is looked at all the same. Fish alone have vents."""
    if not any(_kind(s, facts) == "fish" for s in groups):
        return
    for row in facts.hygiene.quarantine_look:
        if row.value is not None:
            on = start + timedelta(days=round(row.value))
            yield NewcomerLook(on=on, rule=row.id, what=row.what, day=round(row.value))


def _done(look: NewcomerLook, looks: Iterable[Look], zone: str) -> NewcomerLook:
    """A look on its day or after it that says of such a sign whether it is there."""
    wanted = set(SIGNS[look.what])
    done = next((k.id for k in looks if day_of(k.at, zone) >= look.on and wanted & {*k.seen, *k.absent}), "")
    return msgspec.structs.replace(look, done=done)


def _open_until(start: date, groups: Iterable[Stock], temp_c: Estimate | None, facts: Facts) -> date | None:
    """Until when red worms may still come to light. None where there are no fish."""
    if not any(_kind(s, facts) == "fish" for s in groups):
        return None
    return start + timedelta(days=ceil(worms_d(temp_c, facts)))


def worms_d(temp_c: Estimate | None, facts: Facts) -> float:
    """How long red worms hide in a fish: as read near the usual warmth, or longer where it is cooler. [d]"""
    worm = facts.organisms[RED_WORMS]
    span = cycle_d(worm, temp_c or Estimate.exact(USUAL_C))
    return max(first_seen_d(worm, Estimate.exact(USUAL_C)), span[1] if span else 0.0)


def _rule(rows: Iterable[Rule], ident: str) -> Rule:
    return next(r for r in rows if r.id == ident)


def _high(rule: Rule) -> float:
    """The careful end. [d]"""
    found = next(v for v in (rule.high, rule.value, rule.low) if v is not None)
    return float(found)
