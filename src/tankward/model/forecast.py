"""What comes next in a tank, from its logbook: a run through the last week up to now, and on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.acts import AnyAct
from tankward.room.replay import Room

from . import bands
from .cautions import Caution, of_lives, of_readings, of_story, of_water
from .earlier import earlier
from .from_room import Story, story
from .in_fish import UNIT
from .learn import Learning, learn
from .outlook import Asked, outlooks
from .record import HARMS_BY_LACK
from .result import Extreme, Forecast, Kind, Series, as_data
from .rows import Array
from .simulate import WATER, Record
from .suspect import Suspect
from .weigh import well

MOST_DAYS = 60.0

__all__ = ["Extreme", "Forecast", "Series", "as_data", "forecast"]


def forecast(
    room: Room,
    tank_id: str,
    now: datetime,
    *,
    facts: Facts,
    days: float = 7,
    past_days: float = 7,
    planned: Sequence[tuple[datetime, AnyAct]] = (),
    draws: int = 256,
    suspects: Sequence[Suspect] = (),
) -> Forecast:
    """What comes next in a tank.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank_id : str
        Which tank.
    now : datetime
        With the zone in which the tank stands: its light goes by that clock.
    facts : Facts
        Where every number comes from.
    days, past_days : float
        How far ahead, and how far back the run begins. [d]
    planned : sequence of (instant, act)
        What is going to be done.
    draws : int
        64, 128, 256, 512 or 1024.
    suspects : sequence of Suspect
        Organisms that may be at work; each is followed as if it were the one.

    Returns
    -------
    Forecast
        Levels with bands, extremes, and what is not known.

    Raises
    ------
    BadInput
        If the tank or its volume is not known.

    Notes
    -----
    Each draw counts by how likely its kits are to show what was read, and by whether animals that were well
    could have been so in it. pH moves where alkalinity was read too, the water line falls where top-ups
    were entered; both are kept elsewhere. Meals are spread over the day.
    """
    if not 0 < days <= MOST_DAYS:
        raise BadInput("days", f"{days:g}", f"lies outside 0 to {MOST_DAYS:g}.")
    start = (now - timedelta(days=past_days)).replace(minute=0, second=0, microsecond=0)
    told = story(room, tank_id, start, now, facts, planned)
    hours = (now - start) / timedelta(hours=1) + 24.0 * days
    taught = earlier(room, told, facts)
    found = learn(
        told, now, facts, hours=hours, draws=draws, well=well(room, tank_id, now, facts), prior=taught
    )
    record = found.record
    asked = Asked(room=room, told=told, record=record, weights=found.weights, now=now, facts=facts)
    followed = outlooks(asked, suspects)
    given = [*(s for s in record.names if s not in WATER), *record.in_fish]
    beyond = of_lives([o.organism for o in followed], record, given, facts, lamp=told.lamp)
    cautions = (
        *of_readings(found.judged, found.fits),
        *((Caution(kind="earlier-readings", status="computed"),) if taught else ()),
        *of_story(told, facts),
        *of_water(told, record, facts),
        *beyond,
    )
    return msgspec.structs.replace(made(told, now, found, cautions), outlooks=followed)


def made(told: Story, now: datetime, learning: Learning, cautions: tuple[Caution, ...]) -> Forecast:
    """What was learned into a forecast."""
    record, weights = learning.record, learning.weights
    read = {r.quantity for _, r in told.readings}
    names = [name for name in record.names if name != "nitrate_n" or "nitrate_n" in read]
    found = Forecast(
        tank=told.tank.id,
        start=told.start,
        now=now,
        times_h=record.times_h,
        now_h=round((now - told.start) / timedelta(minutes=1)) / 60.0,
        series=(*(_series(record, name, weights) for name in names), *_fed(record, weights)),
        extremes=(),
        cautions=cautions,
        weights=weights,
        fits=learning.fits,
        effective_draws=learning.effective,
        record=record,
        own=learning.own,
    )
    extremes = [found.least(name) if name in HARMS_BY_LACK else found.peak(name) for name in names]
    return msgspec.structs.replace(found, extremes=tuple(extremes))


def _series(record: Record, name: str, weights: Array) -> Series:
    kind: Kind = "water" if name in WATER else "substance"
    return _line(record.levels(name), weights, name=name, where="water", unit=record.units[name], kind=kind)


def _fed(record: Record, weights: Array) -> list[Series]:
    """What medicated food leaves in the fish; after the water, so that a name means the water first."""
    return [
        _line(levels, weights, name=name, where="fish", unit=UNIT, kind="in_fish")
        for name, levels in record.in_fish.items()
    ]


def _line(levels: Array, weights: Array, *, name: str, where: str, unit: str, kind: Kind) -> Series:
    low, q25, value, q75, high = bands.centiles(levels, weights)
    return Series(
        name=name,
        where=where,
        unit=unit,
        kind=kind,
        low=tuple(low.tolist()),
        q25=tuple(q25.tolist()),
        value=tuple(value.tolist()),
        q75=tuple(q75.tolist()),
        high=tuple(high.tolist()),
    )
