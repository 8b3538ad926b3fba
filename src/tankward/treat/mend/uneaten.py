"""Medicated food that was spat out or left: what was not eaten does not count, what leached does."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.in_fish import leached_share
from tankward.room.acts import Feed
from tankward.room.entries.acts import Done, Step
from tankward.room.replay import Room

LATELY = timedelta(days=1)
ALL = 1.0


class Meal(msgspec.Struct, frozen=True, kw_only=True):
    """A day's medicated food as it was given: active -> mg that it held."""

    entry: Done
    food_g: float
    actives_mg: dict[str, float]


class Leaching(msgspec.Struct, frozen=True, kw_only=True):
    """Share of a dose that leaves the food in the water, and where that figure comes from. [-]"""

    low: float
    high: float
    source: str
    status: str


def last_meal(room: Room, tank: str, now: datetime) -> Meal | None:
    """The last medicated food of the last day of which the amount is known; None where there is none."""
    fed = [
        e
        for e in room.of_tank(tank)
        if isinstance(e, Done) and isinstance(e.act, Feed) and now - LATELY <= e.at <= now
    ]
    held = [e for e in fed if isinstance(e.act, Feed) and e.act.actives_mg_per_g and e.act.food_g]
    if not held:
        return None
    act = held[-1].act
    assert isinstance(act, Feed) and act.food_g is not None
    return Meal(
        entry=held[-1],
        food_g=act.food_g,
        actives_mg={s: x * act.food_g for s, x in act.actives_mg_per_g.items()},
    )


def leaching(substance: str, facts: Facts) -> Leaching:
    """What leaves the food before it is taken out of the water again."""
    row = leached_share(facts, substance)
    return Leaching(low=row.low, high=row.high, source=row.source, status=row.status)


def into_water_mg(meal: Meal, eaten: float, facts: Facts, *, left_in: bool) -> dict[str, float]:
    """Active -> mg that went into the water from what was not eaten.

    Parameters
    ----------
    meal : Meal
        As it was given.
    eaten : float
        Share of it that the fish kept. [-]
    facts : Facts
        The facts.
    left_in : bool
        What was not eaten still lies there: then all of it counts. Else the high end of what leaches.
    """
    share = {s: ALL if left_in else leaching(s, facts).high for s in meal.actives_mg}
    return {s: mg * (1.0 - eaten) * share[s] for s, mg in meal.actives_mg.items()}


def next_meal(steps: tuple[Step, ...], now: datetime) -> Step | None:
    """The next planned medicated food."""
    later = [s for s in steps if s.at > now and isinstance(s.act, Feed) and s.act.actives_mg_per_g]
    return min(later, key=lambda s: s.at, default=None)
