"""What comes next in a tank, from its logbook: a run through the last week up to now, and on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.acts import AnyAct, Dose
from tankward.room.replay import Room

from . import bands
from .cautions import Caution, of_lives, of_readings, of_story
from .from_room import Story, story
from .in_fish import UNIT
from .outlook import Asked, outlooks
from .record import HARMS_BY_LACK
from .result import Extreme, Forecast, Kind, Series, as_data
from .rows import Array
from .simulate import WATER, Record, simulate
from .suspect import Suspect
from .weigh import explaining, reads, stood, tempered, well

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
    From each reading on the level is what was read, with its kit's error; draws that could not explain a
    reading, or in which a tank with well animals would have broken limits, are weighed down. pH moves
    where alkalinity was read too, the water line falls where top-ups were entered; both are kept elsewhere.
    Meals are spread over the day.
    """
    if not 0 < days <= MOST_DAYS:
        raise BadInput("days", f"{days:g}", f"lies outside 0 to {MOST_DAYS:g}.")
    start = (now - timedelta(days=past_days)).replace(minute=0, second=0, microsecond=0)
    told = story(room, tank_id, start, now, facts, planned)
    events = (*told.events, *reads(told.readings, facts, draws))
    hours = (now - start) / timedelta(hours=1) + 24.0 * days
    record = simulate(
        told.setup, told.acts, facts, start=start, hours=hours, draws=draws, events=events, marks=(now,)
    )
    factor, judged = explaining(record, told.readings, facts)
    if well(room, tank_id, now, facts):
        factor = factor * stood(without_course(told, record, now, facts, draws), facts, now)
    weights, fits = tempered(factor, facts)
    cautions = (*of_readings(judged, fits), *of_story(told, facts))
    found = made(told, now, record, weights, fits, cautions)
    asked = Asked(room=room, told=told, record=record, weights=weights, now=now, facts=facts)
    followed = outlooks(asked, suspects)
    given = [*(s for s in record.names if s not in WATER), *record.in_fish]
    beyond = of_lives((o.organism for o in followed), record, given, facts)
    return msgspec.structs.replace(found, outlooks=followed, cautions=(*found.cautions, *beyond))


def without_course(told: Story, record: Record, now: datetime, facts: Facts, draws: int) -> Record:
    """The run up to now as it would have been without any course: same food, animals, changes."""
    substances = [name for name in record.names if name not in WATER]
    given = any(isinstance(act, Dose) and at < now for at, act in told.acts)
    if not given and not told.setup.met and not told.setup.levels.keys() & set(substances):
        return record  # until now there was none
    levels = {name: e for name, e in told.setup.levels.items() if name not in substances}
    acts = [(at, act) for at, act in told.acts if at <= now and not isinstance(act, Dose)]
    events = (*told.events, *reads(told.readings, facts, draws))
    hours = (now - told.start) / timedelta(hours=1)
    setup = msgspec.structs.replace(told.setup, levels=levels, met=())
    return simulate(
        setup, acts, facts, start=told.start, hours=hours, draws=draws, events=events, marks=(now,)
    )


def made(
    told: Story, now: datetime, record: Record, weights: Array, fits: bool, cautions: tuple[Caution, ...]
) -> Forecast:
    """A record and its weights into a forecast."""
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
        fits=fits,
        effective_draws=bands.effective(weights),
        record=record,
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
