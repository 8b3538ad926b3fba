"""What is known of the water and of what went into it, as far as a judgement needs it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.holds import left_share, litres_now, there_now
from tankward.room.replay import Room
from tankward.room.things import Reading, Stock
from tankward.room.time import hours_between
from tankward.room.weight import stock_g

from .kits import with_kit_error


class Read(msgspec.Struct, frozen=True, kw_only=True):
    """The latest value of one quantity, with the error of the kit and its age."""

    value: float
    low: float
    high: float
    age_h: float


class Dosed(msgspec.Struct, frozen=True, kw_only=True):
    """A dose that went in."""

    substances: tuple[str, ...]
    age_h: float


class WaterState(msgspec.Struct, frozen=True, kw_only=True):
    """The water of one tank as it is judged. A quantity that is missing is not known."""

    tank: str = ""
    read: Mapping[str, Read] = {}
    residents: tuple[Stock, ...] = ()
    fish_g: Estimate | None = None
    volume_l: Estimate | None = None  # that is there
    full_l: Estimate | None = None  # what the full tank holds
    left: float = 1.0  # of the full tank: less after a loss that was not filled up
    doses: tuple[Dosed, ...] = ()
    ahead: Mapping[str, Estimate] = {}  # highest forecast level by name; least, for oxygen
    clear_in_h: Mapping[str, float] = {}  # hours until a forecast level is under its limit
    fits: bool = True  # whether the readings fit together

    def of(self, quantity: str) -> Read | None:
        return self.read.get(quantity)


def said_water(
    readings: Sequence[Reading], facts: Facts, stock: Sequence[Stock] = (), volume_l: Estimate | None = None
) -> WaterState:
    """The water as somebody just told of it."""
    return WaterState(
        read={r.quantity: _read(r, 0.0, facts) for r in readings},
        residents=tuple(stock),
        fish_g=_fish_g(stock, facts),
        volume_l=volume_l,
    )


def water_state(room: Room, tank_id: str, now: datetime, facts: Facts) -> WaterState:
    """The water of a tank of the room: the latest reading of each quantity, and the doses of the
    last two weeks.
    """
    tank, stock = room.tanks[tank_id], room.stock_of(tank_id)
    full = litres_now(tank, room)
    latest = {
        r.quantity: _read(r, hours_between(entry.at, now), facts)
        for entry in room.readings(tank_id)
        if entry.at <= now
        for r in entry.values
    }
    if "temp_c" not in latest and tank.temp_c is not None:
        t = tank.temp_c
        latest["temp_c"] = Read(value=t.value, low=t.low, high=t.high, age_h=0.0)
    return WaterState(
        tank=tank_id,
        read=latest,
        residents=tuple(stock),
        fish_g=_fish_g(stock, facts),
        volume_l=there_now(tank, room, now),
        full_l=full,
        left=left_share(room, tank_id, full.value if full else math.inf, now),
        doses=tuple(_doses(room, tank_id, now)),
    )


RECENT_DOSE_H = 14 * 24.0


def _doses(room: Room, tank_id: str, now: datetime) -> list[Dosed]:
    done = [(hours_between(at, now), act) for at, act in room.acts(tank_id) if isinstance(act, Dose)]
    return [Dosed(substances=tuple(a.actives), age_h=h) for h, a in done if 0.0 <= h <= RECENT_DOSE_H]


def _read(reading: Reading, age_h: float, facts: Facts) -> Read:
    low, high = with_kit_error(reading, facts)
    return Read(value=reading.value, low=low, high=high, age_h=age_h)


def _fish_g(stock: Sequence[Stock], facts: Facts) -> Estimate | None:
    """Weight of all fish; None where one group's is not known, as a part of it would look like all."""
    fish = [s for s in stock if s.kind in facts.animals and facts.animals[s.kind].kind == "fish"]
    weights = [stock_g(s, facts) for s in fish]
    known = [w for w in weights if w is not None]
    if not fish or len(known) < len(weights):
        return None
    return Estimate(sum(w.value for w in known), sum(w.low for w in known), sum(w.high for w in known))
