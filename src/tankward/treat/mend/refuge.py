"""Where animals go that can't stay in their water: an empty tank that is known to be good, else a tub."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime

import msgspec

from tankward.judge.choices import NH3_CARE, NITRITE_CARE, READING_OLD_H, SHOCK_TEMP, Choice
from tankward.judge.water_findings import nh3_n
from tankward.judge.waterstate import WaterState, water_state
from tankward.knowledge.known import Facts
from tankward.room.holds import litres_now
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.weight import stock_g
from tankward.treat.course.request import still_in
from tankward.treat.husbandry.tub import tub_plan

MG_PER_G = 1000.0
BUCKET_L = Choice(value=5.0, unit="L", why="shrimp and snails: a clean bucket of it does for a night")


class Refuge(msgspec.Struct, frozen=True, kw_only=True):
    """Where they go. `tank` "": into a tub of `litres`; None: their weight is not known."""

    tank: str = ""
    name: str = ""
    litres: float | None = None
    fish_g: float | None = None
    temp_c: float | None = None


def refuge(room: Room, tank: str, who: Collection[str], now: datetime, facts: Facts) -> Refuge:
    """Where those of that name go.

    Parameters
    ----------
    room : Room
        The logbook, replayed.
    tank : str
        Where they are.
    who : collection of str
        Names of stock, or of its young ("fry of guppies").
    now : datetime
        With zone.
    facts : Facts
        The facts.

    Returns
    -------
    Refuge
        A tank in which nobody lives, without medicine, as warm within 2 °C, its ammonia and nitrite read in
        the last day and fine (rule 17: only into water known good and matched). Else a tub (rule 22).
    """
    state = water_state(room, tank, now, facts)
    warm = state.of("temp_c")
    goes = [s for s in room.stock_of(tank) if any(s.name == w or w.endswith(f" of {s.name}") for w in who)]
    fit = [t for t in room.tanks if t != tank and _good(room, t, warm.value if warm else None, now, facts)]
    best = max(fit, key=lambda t: _litres(room, t), default="")
    if best:
        temp = warm.value if warm else None
        return Refuge(tank=best, name=room.tanks[best].name, litres=_litres(room, best), temp_c=temp)
    return _tub(goes, state, facts)


def _litres(room: Room, tank: str) -> float:
    found = litres_now(room.tanks[tank], room)
    return found.low if found else 0.0


def _good(room: Room, tank: str, warm_c: float | None, now: datetime, facts: Facts) -> bool:
    if room.stock_of(tank) or not _litres(room, tank):
        return False
    state = water_state(room, tank, now, facts)
    temp, tan, nitrite, ph = (state.of(q) for q in ("temp_c", "ammonia_n", "nitrite_n", "ph"))
    read = [r for r in (tan, nitrite, ph) if r is not None and r.age_h <= READING_OLD_H.value]
    if temp is None or warm_c is None or tan is None or nitrite is None or ph is None or len(read) < 3:
        return False
    fine = nh3_n(tan, ph, temp).value <= NH3_CARE.value and nitrite.value <= NITRITE_CARE.value
    clean = not any(x > 0.0 for x in still_in(room, tank, facts, now).values())
    return fine and clean and abs(temp.value - warm_c) <= SHOCK_TEMP.value


def _tub(goes: Sequence[Stock], state: WaterState, facts: Facts) -> Refuge:
    """The least tub in which half a change a day holds the ammonia, fed 1 %."""
    ph, temp = state.of("ph"), state.of("temp_c")
    fish = [s for s in goes if s.kind not in facts.animals or facts.animals[s.kind].kind == "fish"]
    weights = [stock_g(s, facts) for s in fish]
    warm = temp.value if temp else None
    if not fish:
        return Refuge(litres=BUCKET_L.value if goes else None, temp_c=warm)
    known = [w for w in weights if w is not None]
    if len(known) < len(fish):
        return Refuge(temp_c=warm)
    grams = sum(w.high for w in known)
    plan, _ = tub_plan(grams * MG_PER_G, None, None, None, ph.value if ph else None, warm, facts)
    return Refuge(litres=plan.least_l, fish_g=sum(w.value for w in known), temp_c=warm)
