"""What happens at an instant, and the order in which it counts.

At one instant, in this order (tests/model/test_order.py):

1. taken out: animals that leave, die or go into a tub, waste that is siphoned, a filter that is cleaned;
2. filter media in or out;
3. water changed; of fish moved to a clean tub all of it;
4. water topped up;
5. heater, air, light, feeding set;
6. substances added;
7. a reading taken: it shows what all of the above has left.

A keeper who changes water and doses at 20:00 doses the new water. Times are whole minutes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import msgspec
import numpy as np

from tankward.room.acts import ORDER, Act, AnyAct, Change, rank

from .rows import Array

READ_LAST = 100


class Event(msgspec.Struct, frozen=True, kw_only=True):
    """Something that no keeper does as one act, but that the water meets at an instant."""


class Died(Event, frozen=True):
    """A corpse left in the water. `stock`: share of the animals that are still alive."""

    grams: float


class Stocked(Event, frozen=True):
    """From now on so much of the animals that the tank is reckoned for; 1 = all of them.

    `fish`: the same of the fish alone, where shrimp stay and fish go; None: as of all.
    """

    share: float
    fish: float | None = None

    @property
    def of_fish(self) -> float:
        """Of the fish alone."""
        return self.share if self.fish is None else self.fish


class NewWater(Event, frozen=True):
    """Water that goes out, or comes in, or both, as the water meets it: a change, a top-up, a loss. Made by
    `water_line.as_met`, with a number for each draw.
    """

    share: Array  # of what is dissolved: it goes out with the old water
    gas_share: Array  # the same of gases: what evaporated took none of them along
    litres: Array  # new water
    mixed: Array  # share of the water afterwards that is new
    temp_c: Any = None  # of the new water; None: as warm as the tank


class Added(Event, frozen=True):
    """A substance that goes in: its row, mg for each draw, the oxygen that it will take."""

    row: int
    amount_mg: Any
    oxygen_mg: Any


class Read(Event, frozen=True):
    """A reading with the error of its kit: a value for each draw."""

    quantity: str
    values: Any
    volume_l: Any = None  # water there is: `water_line.as_met` says


class Held(Event, frozen=True):
    """A reading held against each draw: `taken` makes of its own level the one that it goes on from. [mg/L]

    `field`: of the state; "" where `quantity` is a substance.
    """

    quantity: str
    field: str
    taken: Callable[[Array], Array]
    volume_l: Any = None  # as of Read


class Timed(msgspec.Struct, frozen=True):
    """An act or an event, and when: minutes from the start."""

    minute: int
    what: AnyAct | Event


def order(what: Act | Event) -> int:
    """Where it stands among those of one instant."""
    if isinstance(what, Act):
        return rank(what)
    if isinstance(what, NewWater):
        return ORDER[Change]
    return READ_LAST if isinstance(what, Read | Held) else 1


def in_order(timed: Iterable[Timed]) -> list[Timed]:
    """By minute, then by the list at the head of this file; what is equal stays as it was told."""
    return sorted(timed, key=lambda t: (t.minute, order(t.what)))


def as_draws(value: Any, draws: int) -> Array:
    """A number for all, or one for each draw."""
    return np.broadcast_to(np.asarray(value, dtype=float), (draws,))
