"""What was asked for, once it is clear which regimen is meant."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate

from .choice import Chosen
from .request import CourseRequest
from .shape import Shape


class FoodWish(msgspec.Struct, frozen=True, kw_only=True):
    """How a medicated food is wanted; what is left out is worked out or taken as usual."""

    kind: str = ""  # gel, flakes, granules, frozen
    moisture: float | None = None  # of it, share of its weight
    fish_g: Estimate | None = None  # all of them, weighed
    ration: Estimate | None = None  # what they eat a day of dry food, share of their weight
    food_g: float | None = None  # or: dry food a day, weighed
    days: float | None = None


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """A regimen that is open, and what the keeper asked of it."""

    request: CourseRequest
    chosen: Chosen
    facts: Facts
    start: datetime
    level: float | None = None
    units: float | None = None
    own_rule: bool = False
    stock_ids: tuple[str, ...] = ()
    tub_l: float | None = None
    apart: bool = False  # in a tub of its own
    food: FoodWish = FoodWish()
    shape: Shape | None = None  # hour by hour; None: as the regimen says

    @property
    def key(self) -> str:
        return f"{self.chosen.one.id}-{self.chosen.regimen.id}-{self.start:%Y%m%d}"

    @property
    def volume_l(self) -> Estimate:
        """The water; without it no amount can be worked out."""
        if self.request.volume_l is None:
            told = "has no volume yet: give its sizes and how high it is filled."
            raise BadInput("tank", self.request.tank.name, told)
        return self.request.volume_l

    @property
    def unnamed(self) -> bool:
        """A packet of which nobody knows what is in it: only its own rule can be followed."""
        return self.chosen.supply is not None and not self.chosen.supply.actives

    @property
    def unknown(self) -> tuple[str, ...]:
        """What the packet's label names that is not known here."""
        return self.chosen.supply.unknown if self.chosen.supply else ()
