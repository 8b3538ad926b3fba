"""Who lives in a tank as time goes: as the logbook tells it, and as it is planned."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.acts import AnyAct, Apart, Bath, Move, Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Counted, Death, StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.missing import NotFound
from tankward.room.entries.tanks import TankAdded
from tankward.room.replay import Room

from .events import Died, Event, Stocked
from .living import Living, living_of

WITH_THE_TANK = timedelta(days=1)  # animals entered on the day of their tank were there before


def animals(
    room: Room, tank_id: str, start: datetime, facts: Facts
) -> tuple[Living, list[tuple[datetime, Event]]]:
    """Who lived there at the beginning, and each time when it was more or fewer.

    Those in a tub beside the tank live there; in its water they are not.
    """
    early, later = _told_before(room, tank_id, start)
    at = Room()
    for entry in early:
        at = entry.effect(at)
    first = living_of(at.stock_of(tank_id), facts)
    apart = any(s.id in at.apart for s in at.stock_of(tank_id))
    events = _shared(start, at, tank_id, first, facts) if apart else []
    for entry in later:
        at = entry.effect(at)
        events += _changed(entry, at, tank_id, first, facts)
    return first, events


def leaving(
    room: Room,
    tank_id: str,
    ahead: Sequence[tuple[datetime, AnyAct]],
    first: Living,
    facts: Facts,
) -> list[tuple[datetime, Event]]:
    """Animals that are planned to leave."""
    at, events = room, list[tuple[datetime, Event]]()
    for when, act in sorted(ahead, key=lambda pair: pair[0]):
        if isinstance(act, Move):
            at = at.moved(act.stock, act.to, act.number)
        elif isinstance(act, Apart):
            at = at.set_apart(act.stock, act.volume_l) if act.out else at.back_in(act.stock)
        elif isinstance(act, Remove):
            at = at.removed(act.stock, act.number, dead=act.why == "dead")
        else:
            continue
        events += _shared(when, at, tank_id, first, facts)
    return events


def shared_bath(act: AnyAct, room: Room, tank_id: str, facts: Facts) -> AnyAct:
    """A bath of one group with the share of the fish that it is, where that was not said."""
    if not isinstance(act, Bath) or act.share is not None or act.stock not in room.stock:
        return act
    every = living_of(room.stock_of(tank_id), facts)
    some = living_of([room.stock[act.stock]], facts)
    if not every.fish_g or not some.fish_g or every.fish_g.value <= 0:
        return act
    return msgspec.structs.replace(act, share=min(some.fish_g.value / every.fish_g.value, 1.0))


def _told_before(room: Room, tank_id: str, start: datetime) -> tuple[list[Entry], list[Entry]]:
    """Entries that tell how it was at the beginning, and those after it.

    Animals entered on the day of their tank were there before it was entered.
    """
    added = next((e.at for e in room.of_tank(tank_id) if isinstance(e, TankAdded)), start)

    def early(entry: Entry) -> bool:
        told = isinstance(entry, StockAdded | TankAdded) and entry.at - added <= WITH_THE_TANK
        return told or entry.at <= start

    return [e for e in room.log if early(e)], [e for e in room.log if not early(e)]


def _changed(
    entry: Entry, after: Room, tank_id: str, first: Living, facts: Facts
) -> list[tuple[datetime, Event]]:
    """Events of an entry that changes who lives there."""
    moved = isinstance(entry, Done) and isinstance(entry.act, Move | Remove | Apart)
    if not moved and not isinstance(entry, Counted | Death | NotFound | StockAdded):
        return []
    events = _shared(entry.at, after, tank_id, first, facts)
    if isinstance(entry, Death) and entry.tank == tank_id and entry.taken_out is False:
        one = living_of([s for s in after.stock.values() if s.id == entry.stock], facts)
        number = sum(s.number.value for s in after.stock.values() if s.id == entry.stock)
        if one.any and number:
            events.append((entry.at, Died(grams=one.mass_g.value / number * entry.number)))
    return events


def _shared(
    when: datetime, after: Room, tank_id: str, first: Living, facts: Facts
) -> list[tuple[datetime, Event]]:
    """How many of the animals that the tank is reckoned for are there from now on."""
    if not first.any:
        return []
    living = living_of(after.in_water(tank_id), facts)
    fish = None
    if first.fish_g is not None and first.fish_g.value > 0:
        fish = (living.fish_g.value if living.fish_g else 0.0) / first.fish_g.value
    return [(when, Stocked(share=living.mass_g.value / first.mass_g.value, fish=fish))]
