"""A tank as it stands now, made ready so that many courses can be judged from here on (`Prospect`).

The last week is run and learned from once; each draw goes on from where it stands now: the water and what is
in it, the filter, what is set, what sits on the fish.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room
from tankward.room.things import Tank

from .draws import COUNTS
from .events import Timed
from .follow import herd_of
from .from_room import Story, story
from .happening import IN_THE_CUP, on_the_fish
from .inhabitants import leaving
from .judging import Prospect, Suspected
from .known import row
from .learned import so_far
from .lives.tables import Herd
from .living import Living, living_of
from .now import Now, up_to_now
from .organisms import fish_number, life_of
from .prepare import prepare
from .resume import begun
from .rows import Array
from .setup import Setup
from .simulate import minutes
from .suspect import Suspect, seen_of

MOST_DAYS = 60.0
PAST_D = 7.0
TUB = "tub"
LEAST_FISH = 1e-9
MASS_OF_ONE_G = 50.0**0.21 / 50.0  # of breath, as fish of a gram (parameters.py)

__all__ = ["Prospect", "prospect", "tub_prospect"]


def prospect(
    room: Room,
    tank_id: str,
    now: datetime,
    facts: Facts,
    *,
    days: float,
    suspects: Sequence[Suspect] = (),
    draws: int = 64,
) -> Prospect:
    """A tank as it stands now.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank_id : str
        Which tank.
    now : datetime
        With the zone in which the tank stands.
    facts : Facts
        Where every number comes from.
    days : float
        How far ahead courses may be asked about.
    suspects : sequence of Suspect
        Organisms that may be at work; each is followed as if it were the one.
    draws : int
        64, 128, 256, 512 or 1024; fewer are the first of more.

    Raises
    ------
    BadInput
        If the tank or its volume is not known, or the days are too many.
    """
    _asked(days, draws)
    start = (now - timedelta(days=PAST_D)).replace(minute=0, second=0, microsecond=0)
    told = story(room, tank_id, start, now, facts, ())
    found = up_to_now(told, room, now, facts, draws)
    herd = herd_of(told, facts, draws)
    suspected = []
    for one in suspects if _hosts(told.setup.living, told.unweighed) else ():
        life = life_of(facts, one.organism, herd, draws)
        seen = seen_of(room, tank_id, one, now, start, facts)
        past = so_far(life, told, found.record, found.weights, seen, now, facts)
        lived = past.lived
        suspected.append(
            Suspected(
                suspect=one,
                life=life,
                rows=past.rows,
                weights=past.weights,
                infected_d=past.infected_d,
                done=tuple(
                    Timed(minutes(at, start), what) for at, what in (*lived.told.acts, *lived.told.events)
                ),
                left=lived.left,
            )
        )
    return Prospect(
        found.water,
        found.weights,
        facts,
        days=days,
        highest=_highest(found),
        suspected=suspected,
        leaves=lambda ahead: leaving(room, tank_id, ahead, found.first, facts),
    )


def _asked(days: float, draws: int) -> None:
    if not 0 < days <= MOST_DAYS:
        raise BadInput("days", f"{days:g}", f"lies outside 0 to {MOST_DAYS:g}.")
    if draws not in COUNTS:
        raise BadInput("draws", str(draws), f"is not kept. Write {', '.join(map(str, COUNTS))}.")


def _hosts(living: Living | None, unweighed: Sequence[str]) -> bool:
    """Whether there may be fish."""
    return living is None or living.fish is not None or bool(unweighed)


def _highest(found: Now) -> dict[str, Array]:
    """What each substance came to up to now."""
    return {s: found.record.levels(s).max(axis=0) for s in (r.id for r in found.water.rows)}


def tub_prospect(
    room: Room,
    tank_id: str,
    now: datetime,
    facts: Facts,
    *,
    volume_l: Estimate,
    stock_ids: Sequence[str],
    temp_c: float | None = None,
    days: float,
    suspects: Sequence[Suspect] = (),
    draws: int = 64,
    at: datetime | None = None,
    tank: Prospect | None = None,
) -> Prospect:
    """A bare hospital tub into which animals of a tank go: no filter, air, water from the tap.

    Parameters
    ----------
    room, tank_id, now, facts, days, suspects, draws
        As of `prospect`: where the animals live up to now.
    volume_l : Estimate
        Water in the tub.
    stock_ids : sequence of str
        Groups that go into it.
    temp_c : float, optional
        How warm it is kept; None: as the tank.
    at : datetime, optional
        When they go in, and from when it is judged; None: now. The days count from then.
    tank : Prospect, optional
        Of the tank, where there is one: its past is then not run again, and its suspects and draws hold.

    Notes
    -----
    pH and alkalinity are the tank's; what sits on a fish comes with it, what lives off the fish stays behind
    but for what is in the cup. The draws are those of the tank, with its weights: the same animals, the same
    food.

    Raises
    ------
    BadInput
        If one of the groups does not live in the tank.
    """
    away = [s for s in stock_ids if s not in room.stock or room.stock[s].tank != tank_id]
    if away or not stock_ids:
        raise BadInput("stock", ", ".join(away) or "nothing", "is no group of animals of this tank.")
    if tank is None:
        tank = prospect(room, tank_id, now, facts, days=days, suspects=suspects, draws=draws)
    into, draws, moved = max(at or now, now), tank.draws, room
    for one in stock_ids:
        moved = moved.moved(one, TUB, None)
    living = _weighed(living_of(moved.stock_of(TUB), facts), tank.water.setup, facts)
    setup = _bare(tank.water.setup, living, volume_l, temp_c)
    start = into.replace(second=0, microsecond=0)
    run = prepare(setup, (), (), facts, start=start, hours=days * 24.0, draws=max(tank.water.of, draws))
    water = begun(run, setup, start, draws, tank.water.kept)
    told = Story(
        tank=Tank(id=TUB, name=TUB), start=start, setup=setup, acts=(), events=(), readings=(),
        unweighed=living.unweighed,
    )  # fmt: skip
    herd = msgspec.structs.replace(herd_of(told, facts, draws), gravel=False)
    rows, later = tank.rows_at(into), (into - tank.now) / timedelta(days=1)
    return Prospect(
        water,
        tank.weights,
        facts,
        days=days,
        highest={},
        suspected=[
            _taken_along(one, rows[name], max(later, 0.0), herd, facts)
            for name, one in tank.suspected.items()
        ],
        leaves=lambda ahead: leaving(moved, TUB, ahead, living, facts),
    )


def _weighed(living: Living, setup: Setup, facts: Facts) -> Living:
    """Animals of which nobody knows the mass: as much as a tank of the old one's size holds."""
    if living.any or not living.unweighed:
        return living
    about, litres = row(facts, "fish_g_l"), setup.volume_l
    low, high = about.low * litres.low, about.high * litres.high
    grams = Estimate((low * high) ** 0.5, low, high)
    breath = Estimate(*(g * MASS_OF_ONE_G for g in (grams.value, grams.low, grams.high)))
    return msgspec.structs.replace(living, mass_g=grams, breath_50g=breath)


def _bare(setup: Setup, living: Living, volume_l: Estimate, temp_c: float | None) -> Setup:
    """A tub of new water."""
    nitrogen = {name: told for name, told in setup.tap.items() if name.endswith("_n")}
    return Setup(
        volume_l=volume_l,
        temp_c=setup.temp_c if temp_c is None else Estimate.exact(temp_c),
        ph=setup.ph,
        alkalinity=setup.alkalinity,
        living=living if living.any else None,
        filter="none",
        air=True,
        heater=setup.heater if temp_c is None else True,
        light_h=setup.light_h,
        levels=nitrogen,
        tap=setup.tap,
        tap_chloramine=setup.tap_chloramine,
    )


def _taken_along(one: Suspected, there: Array, later_d: float, herd: Herd, facts: Facts) -> Suspected:
    """What sits on the fish that move, on as many as those are; of what is free what comes in the cup."""
    life = life_of(facts, one.life.organism.id, herd, one.life.draws)
    share = herd.fish / np.maximum(fish_number(one.life, there), LEAST_FISH)
    swims = np.array([row.place in IN_THE_CUP for row in life.gathered.rows])
    rows = np.where(swims[:, None], there * rules.span("transfer_carried")[1], 0.0)
    hosted = on_the_fish(life)
    rows[hosted] = there[hosted] * share
    rows[0] = 1.0
    infected_d = one.infected_d + later_d
    return msgspec.structs.replace(one, life=life, rows=rows, infected_d=infected_d, done=(), left=1.0)
