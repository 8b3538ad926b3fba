"""Logbook to Room. Pure: the same entries in any order, sent twice or once, give the same room."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import datetime

import msgspec

from tankward.quantities.parse import Estimate

from .acts import AnyAct, rank
from .entries.acts import CourseBegun, Done
from .entries.base import Entry
from .entries.corrections import Corrected, Undone
from .entries.looks import Look
from .entries.water import ReadingTaken
from .log import Log
from .things import Kit, Measurement, Spoon, Stock, Supply, Tank, Weighing


class Room(msgspec.Struct, frozen=True, kw_only=True):
    """What there is after the last entry, and the entries that stand."""

    tanks: dict[str, Tank] = {}
    stock: dict[str, Stock] = {}
    shelf: dict[str, Supply] = {}
    kit: Kit = Kit()
    measured: dict[str, Measurement] = {}  # tank -> its water as last measured
    weighed: dict[str, Weighing] = {}  # stock -> its last netful
    courses: dict[str, CourseBegun] = {}  # tank -> the course that runs there
    bodies: dict[str, float] = {}  # stock -> dead ones that nobody is known to have taken out
    apart: dict[str, float | None] = {}  # stock in a tub beside its tank -> litres of the tub, if known
    log: tuple[Entry, ...] = Log()  # standing entries, oldest first

    def with_tank(self, tank: Tank) -> Room:
        return msgspec.structs.replace(self, tanks={**self.tanks, tank.id: tank})

    def described_anew(self, tank: Tank) -> Room:
        """A tank as described; its water as measured while no size has changed."""
        known = self.measured.get(tank.id)
        if known is None or known.holds(tank):
            volume = known.settled if known else tank.volume_l
            return self.with_tank(msgspec.structs.replace(tank, volume_l=volume))
        measured = {k: v for k, v in self.measured.items() if k != tank.id}
        return msgspec.structs.replace(self.with_tank(tank), measured=measured)

    def with_volume(
        self,
        tank: str,
        volume: Estimate,
        how: str,
        *,
        at: datetime | None = None,
        zone: str = "UTC",
        measured: str = "",
    ) -> Room:
        """A tank's water as measured, beside what was measured before."""
        if tank not in self.tanks:
            return self
        known = self.measured.get(tank)
        found = Measurement(
            volume_l=volume, how=how, described=self.as_described(tank), at=at, zone=zone, measured=measured,
            earlier=known.every if known else (),
        )  # fmt: skip
        room = msgspec.structs.replace(self, measured={**self.measured, tank: found})
        return room.with_tank(msgspec.structs.replace(self.tanks[tank], volume_l=found.settled))

    def as_described(self, tank: str) -> Tank:
        """A tank in the keeper's own words, without what was measured since."""
        known = self.measured.get(tank)
        said = known.described.volume_l if known else self.tanks[tank].volume_l
        return msgspec.structs.replace(self.tanks[tank], volume_l=said)

    def without_tank(self, tank: str) -> Room:
        return msgspec.structs.replace(self, tanks={k: v for k, v in self.tanks.items() if k != tank})

    def with_stock(self, stock: Stock) -> Room:
        return msgspec.structs.replace(self, stock={**self.stock, stock.id: stock})

    def with_number(self, stock: str, number: Estimate) -> Room:
        if stock not in self.stock:
            return self
        return self.with_stock(msgspec.structs.replace(self.stock[stock], number=number))

    def fewer(self, stock: str, number: float) -> Room:
        if stock not in self.stock:
            return self
        n = self.stock[stock].number
        left = Estimate(*(max(end - number, 0) for end in (n.value, n.low, n.high)))
        return self.with_number(stock, left)

    def died(self, stock: str, number: float, *, left_in: bool) -> Room:
        """Fewer alive; those that may still lie in the tank are remembered."""
        room = self.fewer(stock, number)
        return room.with_bodies(stock, number) if left_in and stock in room.stock else room

    def removed(self, stock: str, number: float, *, dead: bool) -> Room:
        """Taken out. The dead that were told of before are not taken from the living once more."""
        known = min(number, self.bodies.get(stock, 0)) if dead else 0
        return self.with_bodies(stock, -known).fewer(stock, number - known)

    def with_bodies(self, stock: str, more: float) -> Room:
        if not more:
            return self
        left = max(self.bodies.get(stock, 0) + more, 0)
        return msgspec.structs.replace(self, bodies={**self.bodies, stock: left})

    def moved(self, stock: str, to: str, number: float | None) -> Room:
        if stock not in self.stock:
            return self
        group = self.stock[stock]
        if number is None or number >= group.number.value:
            return self.back_in(stock).with_stock(msgspec.structs.replace(group, tank=to))
        part = msgspec.structs.replace(
            group, id=self._part_id(stock, to), tank=to, number=Estimate.exact(number)
        )
        if part.id in self.stock:
            part = msgspec.structs.replace(
                part, number=Estimate.exact(number + self.stock[part.id].number.value)
            )
        return self.fewer(stock, number).with_stock(part)

    def set_apart(self, stock: str, volume_l: float | None) -> Room:
        """Into a tub beside its tank; it stays stock of that tank."""
        if stock not in self.stock:
            return self
        return msgspec.structs.replace(self, apart={**self.apart, stock: volume_l})

    def back_in(self, stock: str) -> Room:
        """Out of the tub, into its tank."""
        left = {k: v for k, v in self.apart.items() if k != stock}
        return msgspec.structs.replace(self, apart=left)

    def _part_id(self, stock: str, to: str) -> str:
        """Of the part of a group that lives there; one that has moved on since keeps its own."""
        number = 1
        while (found := f"{stock}-{to}" if number == 1 else f"{stock}-{to}-{number}") in self.stock:
            if self.stock[found].tank == to:
                break
            number += 1
        return found

    def with_supply(self, supply: Supply) -> Room:
        return msgspec.structs.replace(self, shelf={**self.shelf, supply.id: supply})

    def used(self, supply: str, units: float) -> Room:
        """Fewer left on the shelf, where it is known how many there were."""
        packet = self.shelf.get(supply)
        if packet is None or packet.left is None:
            return self
        return self.with_supply(msgspec.structs.replace(packet, left=max(packet.left - units, 0)))

    def with_kit(self, kit: Kit) -> Room:
        return msgspec.structs.replace(self, kit=kit)

    def with_spoon(self, name: str, volume_ml: float | None, powder: str, one_g: Estimate) -> Room:
        """A spoon with what it holds of one powder; what it holds of others stays."""
        known = {s.name.casefold(): s for s in self.kit.spoons}
        old = known.get(name.casefold(), Spoon(name=name))
        known[name.casefold()] = Spoon(
            name=old.name,
            volume_ml=old.volume_ml if volume_ml is None else volume_ml,
            grams={**old.grams, powder: one_g.value},
            off={**old.off, powder: (one_g.high - one_g.low) / 2 / one_g.value},
        )
        return self.with_kit(msgspec.structs.replace(self.kit, spoons=tuple(known.values())))

    def with_hose(self, flow: Estimate) -> Room:
        return self.with_kit(msgspec.structs.replace(self.kit, hose_l_per_min=flow))

    def with_weighing(self, stock: str, weighed: Weighing) -> Room:
        """What one of a group weighs, until it is weighed again."""
        room = self.with_stock(msgspec.structs.replace(self.stock[stock], mass_g=weighed.one_g))
        return msgspec.structs.replace(room, weighed={**self.weighed, stock: weighed})

    def with_course(self, course: CourseBegun) -> Room:
        return msgspec.structs.replace(self, courses={**self.courses, course.tank: course})

    def without_course(self, tank: str) -> Room:
        return msgspec.structs.replace(self, courses={k: v for k, v in self.courses.items() if k != tank})

    def stock_of(self, tank: str) -> list[Stock]:
        """Who lives in a tank, in the order in which they came."""
        return [s for s in self.stock.values() if s.tank == tank and s.number.high > 0]

    def of_tank(self, tank: str) -> list[Entry]:
        """A tank's standing entries, oldest first."""
        return list(self._sorted.of_tank(tank))

    def of_group(self, stock: str) -> tuple[Entry, ...]:
        """Standing entries that name a group of animals or plants, oldest first."""
        return self._sorted.of_group(stock)

    @property
    def _sorted(self) -> Log:
        return self.log if isinstance(self.log, Log) else Log(self.log)

    def readings(self, tank: str) -> list[ReadingTaken]:
        return [e for e in self.of_tank(tank) if isinstance(e, ReadingTaken) and e.where == "tank"]

    def looks(self, tank: str) -> list[Look]:
        return [e for e in self.of_tank(tank) if isinstance(e, Look)]

    def in_water(self, tank: str) -> list[Stock]:
        """Who is in a tank's own water: its stock, but for those that are in a tub beside it."""
        return [s for s in self.stock_of(tank) if s.id not in self.apart]

    def acts(self, tank: str, *, tub: bool = False) -> list[tuple[datetime, AnyAct]]:
        """Acts done to a tank, or in the tub beside it, by time and, at one instant, by `acts.ORDER`."""
        done = [(e.at, e.act) for e in self.of_tank(tank) if isinstance(e, Done) and e.tub == tub]
        return sorted(done, key=lambda pair: (pair[0], rank(pair[1])))


def standing(entries: Iterable[Entry]) -> list[Entry]:
    """Entries that hold, each id once, in the total order (instant, id)."""
    once = {e.id: e for e in entries}
    gone = taken_back(once)
    return sorted((e for e in once.values() if e.id not in gone), key=lambda e: (e.at, e.id))


def taken_back(entries: Mapping[str, Entry]) -> set[str]:
    """Ids of entries that an undo or a correction which itself holds has taken back.

    Which clock wrote what does not matter: only who points at whom. An entry is judged once all that point at
    it have been; pointers that chase each other in a ring take nothing back.
    """
    pointers = [e for e in entries.values() if isinstance(e, Undone | Corrected)]
    waits = Counter(target for e in pointers for target in _targets(e))
    ready = [e for e in pointers if not waits[e.id]]
    gone: set[str] = set()
    while ready:
        pointer = ready.pop()
        gone.update(_takes_back(pointer, entries, holds=pointer.id not in gone))
        for target in _targets(pointer):
            waits[target] -= 1
            if not waits[target] and isinstance(found := entries.get(target), Undone | Corrected):
                ready.append(found)
    return gone


def _targets(pointer: Undone | Corrected) -> tuple[str, ...]:
    return (pointer.entry,) if isinstance(pointer, Undone) else (pointer.entry, pointer.by)


def _takes_back(pointer: Undone | Corrected, entries: Mapping[str, Entry], *, holds: bool) -> tuple[str, ...]:
    if isinstance(pointer, Undone):
        return (pointer.entry,) if holds else ()
    # The old one stays until the new one has arrived; without the correction the new one has no place.
    if pointer.by not in entries:
        return ()
    return (pointer.entry,) if holds else (pointer.by,)


def replay(entries: Iterable[Entry]) -> Room:
    """The room that a logbook amounts to."""
    log = standing(entries)
    room = Room()
    for entry in log:
        room = entry.effect(room)
    return msgspec.structs.replace(room, log=Log(log))
