"""Tanks: set up, changed, wound down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankward.room.things import Stock, Tank

from .base import Entry

if TYPE_CHECKING:
    from tankward.room.replay import Room


class TankAdded(Entry, frozen=True, tag="tank"):
    """A tank set up, or its description put right."""

    thing: Tank

    def effect(self, room: Room) -> Room:
        return room.with_tank(self.thing)


class StockAdded(Entry, frozen=True, tag="stock"):
    """Animals or plants that live in a tank."""

    thing: Stock

    def effect(self, room: Room) -> Room:
        return room.with_stock(self.thing)


class Counted(Entry, frozen=True, tag="counted"):
    """Heads counted."""

    stock: str
    number: float

    def effect(self, room: Room) -> Room:
        return room.with_number(self.stock, self.number)


class Death(Entry, frozen=True, tag="death"):
    """Found dead. Left in the tank they decay and feed the ammonia."""

    stock: str = ""
    number: int = 1
    taken_out: bool | None = None

    def effect(self, room: Room) -> Room:
        return room.fewer(self.stock, self.number) if self.stock else room


class TankClosed(Entry, frozen=True, tag="tank_closed"):
    """A tank wound down."""

    def effect(self, room: Room) -> Room:
        return room.without_tank(self.tank)


__all__ = ["Counted", "Death", "StockAdded", "TankAdded", "TankClosed"]
