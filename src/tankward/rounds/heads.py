"""Heads: what the last count said, since when, and who is missing since."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Move, Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Counted, Death, StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.missing import NotFound
from tankward.room.replay import Room
from tankward.room.things import Stock

COUNTABLE = 30  # more of them nobody counts each evening [our own choice]
ASKED_FOR = timedelta(hours=36)  # so long it is asked where a missing one went [our own choice]
JUST_BEFORE = timedelta(seconds=1)  # what explains a count happened before it


class Heads(msgspec.Struct, frozen=True, kw_only=True):
    """A group of animals as it was last told: how many, since when; whether it can be counted."""

    stock: Stock
    since: datetime | None
    countable: bool
    fish: bool

    @property
    def number(self) -> Estimate:
        return self.stock.number


class Missing(msgspec.Struct, frozen=True, kw_only=True):
    """A count that found fewer than there were, and nobody has said where they are."""

    tank: str
    stock: Stock
    counted: str  # the entry
    at: datetime  # of the count
    before: float
    now: float

    @property
    def number(self) -> int:
        return round(self.before - self.now)

    @property
    def asks_at(self) -> datetime:
        """When what explains it happened: an instant before the count."""
        return self.at - JUST_BEFORE


def heads_of(room: Room, tank: str, facts: Facts) -> tuple[Heads, ...]:
    """The animals of a tank, fish first; plants are no heads."""
    groups = [s for s in room.stock_of(tank) if s.kind not in facts.plants]
    found = [_heads(room, s, facts) for s in groups]
    return tuple(sorted(found, key=lambda h: not h.fish))


def _heads(room: Room, stock: Stock, facts: Facts) -> Heads:
    animal = facts.animals.get(stock.kind)
    number = stock.number
    return Heads(
        stock=stock,
        since=next((e.at for e in reversed(room.of_group(stock.id)) if concerns(e, stock.id)), None),
        countable=not number.ranged
        and 0 < number.value <= COUNTABLE
        and stock.stage in ("adult", "juvenile"),
        fish=animal is None or animal.kind == "fish",
    )


def concerns(entry: Entry, stock: str) -> bool:
    """Whether an entry tells how many of a group there are."""
    if isinstance(entry, StockAdded):
        return entry.thing.id == stock
    if isinstance(entry, Counted | Death | NotFound):
        return entry.stock == stock
    return isinstance(entry, Done) and isinstance(entry.act, Move | Remove) and entry.act.stock == stock


def missing(room: Room, now: datetime) -> list[Missing]:
    """Groups whose last count fell short of what was known, unless it was told since where they went."""
    counts: dict[str, Counted] = {}
    for entry in room.log:
        if isinstance(entry, Counted) and entry.stock in room.stock:
            counts[entry.stock] = entry
    found = [_missing(room, c) for c in counts.values() if now - c.at <= ASKED_FOR]
    return [m for m in found if m is not None]


def as_missed(entry: Entry, room: Room, now: datetime) -> Entry:
    """One not found belongs before the count that missed it, or it is counted out twice."""
    if not isinstance(entry, NotFound):
        return entry
    one = next((m for m in missing(room, now) if m.stock.id == entry.stock and m.at <= entry.at), None)
    return entry if one is None else msgspec.structs.replace(entry, at=one.asks_at)


def _missing(room: Room, counted: Counted) -> Missing | None:
    before = Room()
    for entry in room.of_group(counted.stock):
        if entry.id == counted.id:
            break
        if concerns(entry, counted.stock):
            before = entry.effect(before)
    known, group = before.stock.get(counted.stock), room.stock[counted.stock]
    if known is None or group.tank not in room.tanks or known.number.ranged or counted.number.ranged:
        return None
    if known.number.value - counted.number.value < 1:
        return None
    return Missing(
        tank=group.tank, stock=group, counted=counted.id, at=counted.at,
        before=known.number.value, now=counted.number.value,
    )  # fmt: skip
