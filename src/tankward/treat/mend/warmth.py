"""A heater that stuck or gave up: how far the water is from where it was, and how slowly it goes back."""

from __future__ import annotations

import math
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.working import Answer, Working, answer
from tankward.room.acts import Change
from tankward.room.replay import Room
from tankward.room.time import hours_between
from tankward.water.mixing import mixture

READ_H = 0.5  # an older reading says nothing of a heater that failed since [our own choice]
MIXED_H = 3.0  # so long new water is felt in the warmth [our own choice]
NEAR_C = 1.0  # so near to where it was nothing is to be done [our own choice]


class Astray(msgspec.Struct, frozen=True, kw_only=True):
    """Where the water is and where it belongs. None: not known. `least_h`, `usual_h`: how long it takes at
    the most and at the least of what they bear in an hour.
    """

    now_c: float | None
    home_c: float | None
    per_h: tuple[float, float]  # °C an hour
    at_change_c: float  # new water no further from the tank's than this
    source: str
    status: str

    @property
    def by_c(self) -> float | None:
        """Above zero: too warm."""
        return None if self.now_c is None or self.home_c is None else self.now_c - self.home_c

    @property
    def hours(self) -> tuple[float, float] | None:
        """From the fastest to the slowest way back."""
        if self.by_c is None:
            return None
        slow, fast = self.per_h
        return abs(self.by_c) / fast, abs(self.by_c) / slow

    @property
    def near(self) -> bool:
        return self.by_c is not None and abs(self.by_c) <= NEAR_C

    def next_c(self) -> float | None:
        """Where it may be in an hour, at the slow end."""
        if self.now_c is None or self.home_c is None or self.by_c is None:
            return None
        return self.now_c - math.copysign(min(self.per_h[0], abs(self.by_c)), self.by_c)


def astray(room: Room, tank: str, now: datetime, facts: Facts) -> Astray:
    """How far the warmth of a tank is from where it is kept, by the last reading and its description.

    Notes
    -----
    Up by no more than the fact t_up allows in an hour; down no faster (our own choice: nobody has published a
    figure for it), and never by new water further off than t_fish, or t_fry where fry live.
    """
    rows = {r.id: r for r in facts.hygiene.change_limit}
    up, young = rows["t_up"], any(s.stage == "fry" for s in room.stock_of(tank))
    home = room.tanks[tank].temp_c
    return Astray(
        now_c=_now_c(room, tank, home.value if home else None, now),
        home_c=home.value if home else None,
        per_h=up.span or (0.5, 1.0),
        at_change_c=rows["t_fry" if young else "t_fish"].high or 0.0,
        source=up.source,
        status=up.status,
    )


def _now_c(room: Room, tank: str, home_c: float | None, now: datetime) -> float | None:
    """What the thermometer showed just now, mixed with what went in since; None: not known. [°C]"""
    lately = [(e.at, r.value) for e in room.readings(tank) for r in e.values if r.quantity == "temp_c"]
    read = [(at, c) for at, c in lately if 0.0 <= hours_between(at, now) <= READ_H][-1:]
    since = [
        (at, act)
        for at, act in room.acts(tank)
        if isinstance(act, Change) and act.temp_c is not None and 0.0 <= hours_between(at, now) <= MIXED_H
    ]
    after = [act for at, act in since if not read or at > read[0][0]]
    warm = read[0][1] if read else home_c if after else None
    for act in after:
        if warm is not None and act.temp_c is not None:
            warm = float(mixture(warm, act.temp_c, act.share))
    return warm


def astray_answer(a: Astray) -> Answer:
    """Degrees an hour, with the hours that they make."""
    work, fast = Working("down no faster than up: nobody has published a figure for it"), a.per_h[1]
    if a.now_c is not None and a.home_c is not None and a.hours is not None:
        work.step("now", "as it was read, or mixed", a.now_c, "C")
        work.step("home", "as the tank is kept", a.home_c, "C")
        work.step("at the fastest", "difference ÷ degrees an hour", a.hours[0], "h")
        work.step("at the slowest", "difference ÷ degrees an hour", a.hours[1], "h")
    work.step("in an hour", "at most", fast, "C", source=a.source, status=a.status)
    return answer(fast, "C", work, low=a.per_h[0], high=fast, says="{shown}")
