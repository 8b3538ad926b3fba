"""The shelf and the kit: supplies with their labels, spoons, scale, hours, region."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankward.room.things import Kit, Supply

from .base import Entry

if TYPE_CHECKING:
    from tankward.room.replay import Room


class SupplyAdded(Entry, frozen=True, tag="supply"):
    """Something put on the shelf, as its label says."""

    thing: Supply

    def effect(self, room: Room) -> Room:
        return room.with_supply(self.thing)


class KitChanged(Entry, frozen=True, tag="kit"):
    """What the keeper measures with, and where the room is."""

    thing: Kit

    def effect(self, room: Room) -> Room:
        return room.with_kit(self.thing)
