"""Tanks: set up, measured, wound down."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from tankward.quantities.parse import Estimate
from tankward.room.things import Tank

from .base import Entry, Question

if TYPE_CHECKING:
    from tankward.room.replay import Room


class TankAdded(Entry, frozen=True, tag="tank"):
    """A tank set up, or its description put right."""

    thing: Tank

    def effect(self, room: Room) -> Room:
        return room.described_anew(self.thing)


class WaterMeasured(Entry, frozen=True, tag="volume"):
    """The water in a tank measured. It wins over the sizes until these are described anew."""

    volume_l: Annotated[Estimate, Question("How much water did you find?", "volume", above=0)]
    how: Annotated[str, Question("How?", choices=("buckets", "salt", "other"))] = "buckets"

    def effect(self, room: Room) -> Room:
        return room.with_volume(self.tank, self.volume_l, self.how)


class TankClosed(Entry, frozen=True, tag="tank_closed"):
    """A tank wound down."""

    why: Annotated[str, Question("Why?")] = ""

    def effect(self, room: Room) -> Room:
        return room.without_tank(self.tank)
