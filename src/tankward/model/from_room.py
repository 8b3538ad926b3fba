"""A room into what the model needs: the tank at the beginning, what was done since, what was read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Dose, Media, PowerBack, PowerCut
from tankward.room.entries.tanks import TankAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.holds import litres_now
from tankward.room.replay import Room
from tankward.room.things import Reading, Tank
from tankward.room.volume import sizes_of

from .events import Event
from .inhabitants import animals, leaving, shared_bath
from .kits import alkalinity
from .known import dissolved, row
from .levels import levels
from .living import Living
from .setup import Setup
from .standing import Standing
from .water_line import evaporating

TOPPED = timedelta(days=28)  # top-ups before the beginning tell how much evaporates
LONGEST_COURSE = timedelta(days=60)  # what was dosed longer ago than this is not followed


class Story(msgspec.Struct, frozen=True, kw_only=True):
    """A tank from `start` on: how it stood, what was done, what else the water met, what was read."""

    tank: Tank
    start: datetime
    setup: Setup
    acts: tuple[tuple[datetime, AnyAct], ...]
    events: tuple[tuple[datetime, Event], ...]
    readings: tuple[tuple[datetime, Reading], ...]
    unweighed: tuple[str, ...]
    lamp: bool = False  # an ultraviolet lamp burns in the filter now


def tank_of(room: Room, tank_id: str) -> Tank:
    """The tank of that id.

    Raises
    ------
    BadInput
        If there is none.
    """
    if tank_id not in room.tanks:
        raise BadInput("tank", tank_id, f"is not here. Known: {', '.join(room.tanks) or 'none yet'}.")
    return room.tanks[tank_id]


def story(
    room: Room,
    tank_id: str,
    start: datetime,
    now: datetime,
    facts: Facts,
    planned: Iterable[tuple[datetime, AnyAct]],
) -> Story:
    """Everything about one tank between `start` and the end of what is planned.

    Raises
    ------
    BadInput
        If the tank is not known, or how much water it holds.
    """
    tank = tank_of(room, tank_id)
    volume = litres_now(tank, room)
    if volume is None:
        raise BadInput(
            "volume", "nothing", f"is known of {tank.name}. Give its litres, or its sizes and fill."
        )
    done = room.acts(tank_id)
    living, events = animals(room, tank_id, start, facts)
    before = [(at, act) for at, act in done if start - LONGEST_COURSE <= at < start]
    setup = _setup(room, tank, volume, living, before, start, facts)
    since = [(at, shared_bath(act, room, tank_id, facts)) for at, act in done if start <= at <= now]
    ahead = [(at, act) for at, act in planned if at >= now]
    acts = (*_still_off(before, start), *since, *ahead)
    events = [*events, *leaving(room, tank_id, ahead, living, facts)]
    return Story(
        tank=tank,
        start=start,
        setup=setup,
        acts=acts,
        events=tuple(events),
        readings=tuple(_readings(room, tank_id, start, now)),
        unweighed=living.unweighed,
        lamp=_lamp([act for at, act in done if at <= now]),
    )


def _lamp(done: Sequence[AnyAct]) -> bool:
    """Whether an ultraviolet lamp was put in and not taken out since."""
    found = [act for act in done if isinstance(act, Media) and act.medium == "ultraviolet"]
    return bool(found) and found[-1].into


def _still_off(before: Sequence[tuple[datetime, AnyAct]], start: datetime) -> list[tuple[datetime, AnyAct]]:
    """A power cut from before the beginning that goes on."""
    last = [(at, act) for at, act in before if isinstance(act, PowerCut | PowerBack)][-1:]
    found: list[tuple[datetime, AnyAct]] = []
    for at, act in last:
        gone = (start - at) / timedelta(hours=1)
        if isinstance(act, PowerCut) and (act.hours is None or act.hours > gone):
            left = None if act.hours is None else act.hours - gone
            found.append((start, msgspec.structs.replace(act, hours=left)))
    return found


def _readings(room: Room, tank_id: str, start: datetime, now: datetime) -> list[tuple[datetime, Reading]]:
    kept = [e for e in room.readings(tank_id) if start <= e.at <= now]
    return [(e.at, reading) for e in kept for reading in e.values]


def latest(room: Room, tank_id: str, quantity: str, where: str = "tank") -> Reading | None:
    """The last reading of a quantity, however old."""
    found = [
        reading
        for e in room.of_tank(tank_id)
        if isinstance(e, ReadingTaken) and e.where == where
        for reading in e.values
        if reading.quantity == quantity
    ]
    return found[-1] if found else None


def estimate_of(reading: Reading) -> Estimate:
    """A reading with its range, where it has one."""
    low = reading.value if reading.low is None else reading.low
    high = reading.value if reading.high is None else reading.high
    return Estimate(reading.value, low, high)


def _setup(
    room: Room,
    tank: Tank,
    volume: Estimate,
    living: Living,
    before: Sequence[tuple[datetime, AnyAct]],
    start: datetime,
    facts: Facts,
) -> Setup:
    ph, warm = latest(room, tank.id, "ph"), latest(room, tank.id, "temp_c")
    usual = _usual(before)
    topped = [(at, act) for at, act in room.acts(tank.id) if at >= start - TOPPED]
    evaporates, falling_d = evaporating(topped, start)
    told = {n: latest(room, tank.id, n, where="tap") for n in ("ammonia_n", "nitrite_n", "nitrate_n", "ph")}
    hard, tap_hard = latest(room, tank.id, "kh"), latest(room, tank.id, "kh", where="tap")
    tap = {name: estimate_of(reading) for name, reading in told.items() if reading is not None}
    if tap_hard is not None:
        tap["alkalinity"] = alkalinity(tap_hard, facts)
    temp = estimate_of(warm) if warm else tank.temp_c
    age = _age(room, tank, start)
    return Setup(
        volume_l=volume,
        temp_c=temp,
        ph=estimate_of(ph) if ph else None,
        alkalinity=alkalinity(hard, facts) if hard else None,
        living=living if living.any or (living.planted and not living.unweighed) else None,
        filter=tank.filter,
        filter_age_d=age,
        filter_seeded=tank.filter_seeded,
        air=tank.air,
        heater=tank.heater,
        light_h=tank.light_h,
        depth_cm=tank.fill_cm,
        glass_cm2=outside_cm2(tank),
        food_g=usual.food_g,
        feed=usual.feed,
        levels=nitrogen(age, facts) | _still_in(before, volume, temp, tank, start, facts),
        met=_met(before, start, facts),
        tap=tap,
        tap_chloramine=tank.tap == "chloramine",
        evaporates_l_d=evaporates,
        falling_d=falling_d,
        surface_cm2=surface_cm2(tank),
    )


def _usual(before: Sequence[tuple[datetime, AnyAct]]) -> Standing:
    """What was set last before the beginning."""
    standing = Standing()
    for _, act in before:
        standing = standing.after(act, 0)
    return standing


def _age(room: Room, tank: Tank, start: datetime) -> float | None:
    """Days that the filter had run at the beginning; None is not known."""
    if tank.filter_age_d is None:
        return None
    told = [e.at for e in room.of_tank(tank.id) if isinstance(e, TankAdded)]
    if not told:
        return tank.filter_age_d
    return max(tank.filter_age_d - (told[-1] - start) / timedelta(days=1), 0.0)


def nitrogen(filter_age_d: float | None, facts: Facts) -> dict[str, Estimate]:
    """What ammonia and nitrite there may have been at the beginning, which nobody read.

    None where filter and water were new then: it held what the tap does.
    """
    if filter_age_d is not None and filter_age_d < facts.tank["nitrogen_new_d"].low:
        return {}
    ripe = filter_age_d is not None and filter_age_d >= facts.tank["filter_run_in_d"].low
    about = row(facts, "nitrogen_run_in" if ripe else "nitrogen_unknown")
    middle = Estimate((about.low * about.high) ** 0.5, about.low, about.high)
    return {"ammonia_n": middle, "nitrite_n": middle}


def outside_cm2(tank: Tank) -> float | None:
    """Walls, floor and top of a box of known sizes."""
    length, width, height = tank.length_cm, tank.width_cm, tank.height_cm or tank.fill_cm
    if sizes_of(tank) is None or length is None or width is None or height is None:
        return None
    return 2 * (length * width + length * height + width * height)


def surface_cm2(tank: Tank) -> float | None:
    """Of the water of a box of known sizes."""
    if sizes_of(tank) is None or tank.length_cm is None or tank.width_cm is None:
        return None
    return tank.length_cm * tank.width_cm


def _still_in(
    before: Sequence[tuple[datetime, AnyAct]],
    volume: Estimate,
    temp: Estimate | None,
    tank: Tank,
    start: datetime,
    facts: Facts,
) -> dict[str, Estimate]:
    """What earlier doses have left in the water at the beginning."""
    given = {s for _, act in before if isinstance(act, Dose) for s in act.actives if dissolved(facts, s)}
    return {
        s: levels(
            s,
            before,
            facts=facts,
            volume_l=volume,
            temp_c=temp,
            light_h=tank.light_h,
            filter=tank.filter,
            until=start,
        ).end
        for s in sorted(given)
    }


def _met(before: Sequence[tuple[datetime, AnyAct]], start: datetime, facts: Facts) -> tuple[str, ...]:
    """Substances that the filter met within the last weeks before the beginning."""
    span = timedelta(days=facts.tank["filter_remembers"].low)
    given = [act for at, act in before if isinstance(act, Dose) and start - at <= span]
    return tuple(sorted({s for act in given for s in act.actives}))
