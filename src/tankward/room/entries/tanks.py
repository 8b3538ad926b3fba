"""Tanks: set up, measured, wound down."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, ClassVar

from tankward.quantities.parse import Estimate
from tankward.room.things import Tank

from .base import Entry, Question, as_it_was

if TYPE_CHECKING:
    from tankward.room.replay import Room


class TankAdded(Entry, frozen=True, tag="tank"):
    """A tank set up, or its description put right."""

    thing: Tank

    def effect(self, room: Room) -> Room:
        return room.described_anew(self.thing)


class WaterMeasured(Entry, frozen=True, kw_only=True, tag="volume"):
    """The water in a tank measured. It wins over the sizes until these are described anew."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {1: as_it_was}

    version: int = 2
    volume_l: Annotated[Estimate, Question("How much water did you find?", "volume", above=0)]
    how: Annotated[str, Question("How?", choices=("buckets", "salt", "other"))] = "buckets"
    measured: Annotated[str, Question("As you measured it")] = ""  # "3 buckets of 10 L and 4 L"

    def effect(self, room: Room) -> Room:
        return room.with_volume(
            self.tank, self.volume_l, self.how, at=self.at, zone=self.zone, measured=self.measured
        )


class TankClosed(Entry, frozen=True, tag="tank_closed"):
    """A tank wound down."""

    why: Annotated[str, Question("Why?")] = ""

    def effect(self, room: Room) -> Room:
        return room.without_tank(self.tank)
