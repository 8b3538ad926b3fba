"""Animals and plants: they come, are counted, go, die."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from tankward.quantities.parse import Estimate
from tankward.room.measuring import netful, step_or_usual
from tankward.room.things import Stock, Weighing

from .base import Entry, Question

if TYPE_CHECKING:
    from tankward.room.replay import Room


class StockAdded(Entry, frozen=True, tag="stock"):
    """Animals or plants that live in a tank."""

    thing: Stock

    def effect(self, room: Room) -> Room:
        return room.with_stock(self.thing)


class Counted(Entry, frozen=True, tag="counted"):
    """Heads counted. "About 40" keeps its range."""

    stock: Annotated[str, Question("Which animals?", "stock")]
    number: Annotated[Estimate, Question("How many?", "number", at_least=0, at_most=100_000)]

    def effect(self, room: Room) -> Room:
        return room.with_number(self.stock, self.number)


class Death(Entry, frozen=True, tag="death"):
    """Found dead. Left in the tank they decay and feed the ammonia."""

    stock: Annotated[str, Question("Which animals?", "stock")] = ""
    number: Annotated[int, Question("How many?", "number", at_least=1, at_most=100_000)] = 1
    taken_out: Annotated[bool | None, Question("Taken out?", "yes")] = None

    def effect(self, room: Room) -> Room:
        return room.died(self.stock, self.number, left_in=self.taken_out is not True)


class NetfulWeighed(Entry, frozen=True, tag="netful"):
    """Some of them weighed together in a jar of tank water. It narrows what one weighs."""

    stock: Annotated[str, Question("Which animals?", "stock")]
    number: Annotated[float, Question("How many went into the jar?", "number", above=0, at_most=10_000)]
    mass_g: Annotated[float, Question("What did the scale show?", "mass", above=0, at_most=100_000)]
    step_g: Annotated[float | None, Question("What is the step of your scale?", "mass", above=0)] = None

    def effect(self, room: Room) -> Room:
        group = room.stock.get(self.stock)
        if group is None:
            return room
        one = netful(self.mass_g, self.number, self.step_g, group.number)
        weighed = Weighing(
            at=self.at, zone=self.zone, number=self.number, mass_g=self.mass_g,
            step_g=step_or_usual(self.step_g), one_g=one,
        )  # fmt: skip
        return room.with_weighing(self.stock, weighed)


class JarTrial(Entry, frozen=True, tag="jar_trial"):
    """Animals tried in a jar of the dosed water before the tank is. Its result narrows the limit."""

    conc_mg_l: Annotated[dict[str, float], Question("How strong was the water?", "levels", rest=True)]
    hours: Annotated[float, Question("For how long?", "time", above=0, at_most=1000)]
    lived: Annotated[
        dict[str, float], Question("Who lived? Like cherry_shrimp 3; nerite_snail 1", "species_numbers")
    ] = {}
    died: Annotated[dict[str, float], Question("Who died?", "species_numbers")] = {}
    ill: Annotated[bool | None, Question("Did any look ill?", "yes")] = None
