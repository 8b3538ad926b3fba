"""Logbook to Room. Pure: the same entries in any order, sent twice or once, give the same room."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

import msgspec

from tankward.quantities.parse import Estimate

from .acts import AnyAct, rank
from .entries.acts import CourseBegun, Done
from .entries.base import Entry
from .entries.corrections import Corrected, Undone
from .entries.looks import Look
from .entries.water import ReadingTaken
from .things import Kit, Stock, Supply, Tank


class Room(msgspec.Struct, frozen=True, kw_only=True):
    """What there is after the last entry, and the entries that stand."""

    tanks: dict[str, Tank] = {}
    stock: dict[str, Stock] = {}
    shelf: dict[str, Supply] = {}
    kit: Kit = Kit()
    courses: dict[str, CourseBegun] = {}  # tank -> the course that runs there
    log: tuple[Entry, ...] = ()  # standing entries, oldest first

    def with_tank(self, tank: Tank) -> Room:
        return msgspec.structs.replace(self, tanks={**self.tanks, tank.id: tank})

    def without_tank(self, tank: str) -> Room:
        return msgspec.structs.replace(self, tanks={k: v for k, v in self.tanks.items() if k != tank})

    def with_stock(self, stock: Stock) -> Room:
        return msgspec.structs.replace(self, stock={**self.stock, stock.id: stock})

    def with_number(self, stock: str, number: float) -> Room:
        if stock not in self.stock:
            return self
        return self.with_stock(msgspec.structs.replace(self.stock[stock], number=Estimate.exact(number)))

    def fewer(self, stock: str, number: float) -> Room:
        if stock not in self.stock:
            return self
        n = self.stock[stock].number
        left = Estimate(max(n.value - number, 0), max(n.low - number, 0), max(n.high - number, 0))
        return self.with_stock(msgspec.structs.replace(self.stock[stock], number=left))

    def moved(self, stock: str, to: str, number: float | None) -> Room:
        if stock not in self.stock:
            return self
        group = self.stock[stock]
        if number is None or number >= group.number.value:
            return self.with_stock(msgspec.structs.replace(group, tank=to))
        part = msgspec.structs.replace(group, id=f"{stock}-{to}", tank=to, number=Estimate.exact(number))
        if part.id in self.stock:
            part = msgspec.structs.replace(
                part, number=Estimate.exact(number + self.stock[part.id].number.value)
            )
        return self.fewer(stock, number).with_stock(part)

    def with_supply(self, supply: Supply) -> Room:
        return msgspec.structs.replace(self, shelf={**self.shelf, supply.id: supply})

    def with_kit(self, kit: Kit) -> Room:
        return msgspec.structs.replace(self, kit=kit)

    def with_course(self, course: CourseBegun) -> Room:
        return msgspec.structs.replace(self, courses={**self.courses, course.tank: course})

    def without_course(self, tank: str) -> Room:
        return msgspec.structs.replace(self, courses={k: v for k, v in self.courses.items() if k != tank})

    def stock_of(self, tank: str) -> list[Stock]:
        """Who lives in a tank, in the order in which they came."""
        return [s for s in self.stock.values() if s.tank == tank and s.number.high > 0]

    def of_tank(self, tank: str) -> list[Entry]:
        """A tank's standing entries, oldest first."""
        return [e for e in self.log if e.tank == tank]

    def readings(self, tank: str) -> list[ReadingTaken]:
        return [e for e in self.of_tank(tank) if isinstance(e, ReadingTaken) and e.where == "tank"]

    def looks(self, tank: str) -> list[Look]:
        return [e for e in self.of_tank(tank) if isinstance(e, Look)]

    def acts(self, tank: str) -> list[tuple[datetime, AnyAct]]:
        """Acts done to a tank, in order of time and, at one instant, of `acts.ORDER`."""
        done = [(e.at, e.act) for e in self.of_tank(tank) if isinstance(e, Done)]
        return sorted(done, key=lambda pair: (pair[0], rank(pair[1])))


def standing(entries: Iterable[Entry]) -> list[Entry]:
    """Entries that hold, each id once, in the total order (instant, id)."""
    once = {e.id: e for e in entries}
    ordered = sorted(once.values(), key=lambda e: (e.at, e.id))
    gone: set[str] = set()
    # Newest first: an undo that was itself undone takes nothing back.
    for entry in reversed(ordered):
        if entry.id not in gone and isinstance(entry, Undone | Corrected):
            gone.add(entry.entry)
    return [e for e in ordered if e.id not in gone]


def replay(entries: Iterable[Entry]) -> Room:
    """The room that a logbook amounts to."""
    log = standing(entries)
    room = Room()
    for entry in log:
        room = entry.effect(room)
    return msgspec.structs.replace(room, log=tuple(log))
