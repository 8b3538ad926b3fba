"""The shelf and the kit: supplies with labels, scale, hours, region; a spoon weighed, the hose timed."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, ClassVar

import msgspec

from tankward.room.hours import dated
from tankward.room.measuring import flow, spoonful
from tankward.room.things import Kit, Supply

from .base import Entry, Question, as_it_was

if TYPE_CHECKING:
    from tankward.room.replay import Room


class SupplyAdded(Entry, frozen=True, kw_only=True, tag="supply"):
    """Something put on the shelf, as its label says."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {1: as_it_was}

    version: int = 2
    thing: Supply

    def effect(self, room: Room) -> Room:
        return room.with_supply(self.thing)


class KitChanged(Entry, frozen=True, kw_only=True, tag="kit"):
    """What the keeper measures with, and where the room is."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {
        1: as_it_was,
        2: as_it_was,
    }

    version: int = 3
    thing: Kit

    def effect(self, room: Room) -> Room:
        # "away Thu-Sun" is the one that was coming when it was written.
        hours = dated(self.thing.hours, self.at, self.zone)
        return room.with_kit(msgspec.structs.replace(self.thing, hours=hours))


class SpoonWeighed(Entry, frozen=True, tag="spoon"):
    """A spoon weighed with a powder. Level spoons weighed together give what one holds."""

    spoon: Annotated[str, Question("Which spoon?", "name")]
    powder: Annotated[str, Question("Which powder?", "substance")]
    spoons: Annotated[float, Question("How many level spoons together?", "number", above=0, at_most=1000)]
    mass_g: Annotated[float, Question("What do they weigh together?", "mass", above=0, at_most=100_000)]
    volume_ml: Annotated[
        float | None, Question("What does the spoon hold, if it says so?", "volume", above=0, at_most=1000)
    ] = None
    step_g: Annotated[float | None, Question("What is the step of your scale?", "mass", above=0)] = None

    def effect(self, room: Room) -> Room:
        found = spoonful(self.mass_g, self.spoons, self.step_g)
        return room.with_spoon(self.spoon, self.volume_ml, self.powder, found)


class HoseTimed(Entry, frozen=True, tag="hose"):
    """The hose timed into a bucket."""

    volume_l: Annotated[float, Question("How much does the bucket hold?", "volume", above=0, at_most=1000)]
    minutes: Annotated[
        float, Question("How long until it was full?", "time", above=0, at_most=600, key="time")
    ]

    def effect(self, room: Room) -> Room:
        return room.with_hose(flow(self.volume_l, self.minutes))
