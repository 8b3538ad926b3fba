"""What became of a packet on the shelf: used up, bought again, thrown away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from msgspec.structs import replace

from .base import Entry, Question

if TYPE_CHECKING:
    from tankward.room.replay import Room

USED_UP, THROWN_AWAY = "used_up", "thrown_away"


class UsedUp(Entry, frozen=True, tag="used_up"):
    """A packet used up."""

    supply: Annotated[str, Question("Which packet?", "supply")]

    def effect(self, room: Room) -> Room:
        return _without(room, self.supply, USED_UP)


class ThrownAway(Entry, frozen=True, tag="thrown_away"):
    """A packet thrown away."""

    supply: Annotated[str, Question("Which packet?", "supply")]
    why: Annotated[str, Question("Why?")] = ""

    def effect(self, room: Room) -> Room:
        return _without(room, self.supply, THROWN_AWAY)


class BoughtAgain(Entry, frozen=True, tag="bought"):
    """A packet bought again. It is not opened yet, and has a date of its own."""

    supply: Annotated[str, Question("Which packet?", "supply")]
    number: Annotated[float | None, Question("How many did you buy?", "number", above=0)] = None
    expiry: Annotated[str, Question("Until when is it good?", "day")] = ""

    def effect(self, room: Room) -> Room:
        packet = room.shelf.get(self.supply)
        if packet is None:
            return room
        fresh = bool(packet.gone) or not packet.left
        there = 0.0 if packet.gone or packet.left == 0 else packet.left
        left = None if self.number is None or there is None else there + self.number
        # Of two packets the older date and the day of opening stay true.
        expiry, opened = (self.expiry, "") if fresh else (packet.expiry, packet.opened)
        return room.with_supply(replace(packet, left=left, gone="", expiry=expiry, opened=opened))


def _without(room: Room, supply: str, gone: str) -> Room:
    packet = room.shelf.get(supply)
    return room if packet is None else room.with_supply(replace(packet, left=0.0, gone=gone))
