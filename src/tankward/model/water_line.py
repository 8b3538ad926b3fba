"""The water line: it falls as water evaporates or is lost, substances stay, topping up or a change brings it
back.

How fast it falls only the keeper's own top-ups tell: a cover makes a factor of ten, and what is topped
up without a word leaves nothing to see. So it is followed where two or more of them were entered, or where
water was lost, and taken as kept elsewhere (cautions say how much that may be). It depends on acts alone, so
it is worked out before a run; the processes ask it at the middle of spans of a few hours.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.beliefs import estimated
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct, Change, Lost, PowerBack, PowerCut, TopUp, Transfer

from .draws import uniform
from .events import Held, NewWater, Read, Timed, in_order
from .rows import Array, Rows
from .setup import Setup

DAY_MIN = 1440.0
UNSURE = 1.3  # × ÷: from week to week it evaporates more or less [memory]
MOST_GONE = 0.3  # a keeper has topped up by then, entered or not [memory]
LEAST_LEFT = 0.01  # of the full tank: what stays in the corners and in the bed [memory]
ASKED_MIN = 360  # so often the processes are told how much water there is
Refill = tuple[float, Array]  # minute, litres missing from it on


class WaterLine(msgspec.Struct, frozen=True):
    """How many litres are missing, for each draw: just after each refill or loss, and how fast more go."""

    volume_l: Array
    litres_min: Array
    refilled: tuple[Refill, ...]  # the first is for the beginning; several at a minute in their order

    def missing_l(self, minute: float, *, after: bool) -> Array:
        """Litres missing at a minute, before or after what happens in it."""
        then, missing = [r for r in self.refilled if r[0] < minute or (after and r[0] == minute)][-1]
        gone = missing + self.litres_min * max(minute - then, 0.0)
        return np.asarray(np.minimum(gone, np.maximum(MOST_GONE * self.volume_l, missing)))

    def share(self, minute: float, *, after: bool = True) -> Array:
        """Water there is, against the full tank. [-]"""
        return np.asarray(1.0 - self.missing_l(minute, after=after) / self.volume_l)

    def shares(self, minutes: tuple[int, ...]) -> Array:
        """The same for each record; of two at one minute the first is before what happens."""
        at = np.array(minutes, dtype=float)
        first = np.concatenate([at[:-1] == at[1:], [False]])
        thens = np.array([then for then, _ in self.refilled])
        which = np.where(first, np.searchsorted(thens, at, "left"), np.searchsorted(thens, at, "right")) - 1
        missing = np.array([missing for _, missing in self.refilled])[which]
        gone = missing + self.litres_min * np.maximum(at - thens[which], 0.0)[:, None]
        return np.asarray(
            1.0 - np.minimum(gone, np.maximum(MOST_GONE * self.volume_l, missing)) / self.volume_l
        )

    def falling(self, minute: float) -> float | None:
        """For how long it has been falling from the brim; None where it was not full then. [min]"""
        then, missing = [r for r in self.refilled if r[0] <= minute][-1]
        return None if missing.any() else minute - then

    def then(self, minute: int, missing_l: Array) -> WaterLine:
        """The line from a minute on, after a refill or a loss."""
        held = np.clip(missing_l, 0.0, (1.0 - LEAST_LEFT) * self.volume_l)
        return msgspec.structs.replace(self, refilled=(*self.refilled, (float(minute), held)))

    def asked(self, end: int, start_of_day: int) -> list[int]:
        """Minutes at which a span begins in which the processes take the line for level."""
        grid = range(-start_of_day % ASKED_MIN, end, ASKED_MIN)
        refills = [round(minute) for minute, _ in self.refilled]
        return sorted({0, *(m for m in (*grid, *refills) if 0 < m < end)})

    def lowest(self, minutes: Iterable[int], end: int) -> float:
        """The least share of the water that is left in any draw, before or after any of the minutes."""
        at = [self.share(m, after=after) for m in minutes for after in (False, True) if m > 0 or after]
        return float(min(part.min() for part in (*at, self.share(end))))


def water_line(setup: Setup, timed: Iterable[Timed], th: Rows, draws: int) -> WaterLine | None:
    """The line of a run; None where it is taken as kept."""
    met = TopUp | Change | Lost | Transfer
    moves = [t for t in in_order(timed) if isinstance(t.what, met) and t.minute >= 0]
    falls = setup.evaporates_l_d is not None
    if not falls and not any(isinstance(t.what, Lost) for t in moves):
        return None
    about = setup.evaporates_l_d
    rate = np.zeros(draws) if about is None else estimated(about, uniform("carbonate", draws, 3)) / DAY_MIN
    began = -DAY_MIN * setup.falling_d - 1.0
    line = WaterLine(th.volume_l, rate, ((began, np.zeros(draws)),))
    for t in moves:
        line = line.then(t.minute, _missing_after(t.what, line.missing_l(t.minute, after=True), th.volume_l))
    return line


def _missing_after(what: object, missing_l: Array, volume_l: Array) -> Array:
    """A change fills the tank, a top-up brings what it brings, a loss takes its share of what there was."""
    match what:
        case TopUp(volume_l=litres):
            return np.maximum(missing_l - litres, 0.0)
        case Lost(share=share):
            return missing_l + share * (volume_l - missing_l)
    return np.zeros_like(missing_l)


def as_met(timed: Iterable[Timed], line: WaterLine | None, th: Rows) -> list[Timed]:
    """Acts as the water meets them: a power cut with its end, readings with the water they were taken in."""
    found, seen = list[Timed](), dict[int, int]()
    for t in in_order(timed):
        what = t.what
        if isinstance(what, Transfer):
            found.append(t)
            what = Change(share=1.0, dechlorinated=what.dechlorinated)  # none of the old water stays
        if isinstance(what, PowerCut) and what.hours is not None:
            found.append(Timed(t.minute + round(60.0 * what.hours), PowerBack()))
        if isinstance(what, TopUp | Change | Lost) and t.minute >= 0:
            number = seen[t.minute] = seen.get(t.minute, 0) + 1
            what = _as_kept(what, th) if line is None else _as_fallen(what, *_around(line, t.minute, number))
        elif isinstance(what, Read | Held):
            share = 1.0 if line is None else line.share(t.minute)
            what = msgspec.structs.replace(what, volume_l=th.volume_l * share)
        found.append(Timed(t.minute, what))
    return found


def _around(line: WaterLine, minute: int, number: int) -> tuple[Array, Array]:
    """Litres there are just before and after the `number`-th refill or loss of a minute."""
    of_minute = [missing for then, missing in line.refilled[1:] if then == minute]
    before = line.missing_l(minute, after=False) if number == 1 else of_minute[number - 2]
    return line.volume_l - before, line.volume_l - of_minute[number - 1]


def _as_kept(what: AnyAct, th: Rows) -> NewWater:
    """The water line is the keeper's care: a top-up replaces what evaporated unseen."""
    if isinstance(what, TopUp):
        share, litres = 0.0 * th.volume_l, np.full_like(th.volume_l, what.volume_l)
        return NewWater(
            share=share, gas_share=np.minimum(litres / th.volume_l, 1.0), litres=litres, mixed=share
        )
    assert isinstance(what, Change)
    share = np.full_like(th.volume_l, what.share)
    return NewWater(
        share=share, gas_share=share, litres=what.share * th.volume_l, mixed=share, temp_c=what.temp_c
    )


def _as_fallen(what: AnyAct, before_l: Array, after_l: Array) -> NewWater:
    if isinstance(what, TopUp):
        litres, none = np.full_like(after_l, what.volume_l), np.zeros_like(after_l)
        over = np.maximum(before_l + litres - after_l, 0.0)  # more than is missing: the line was higher
        return NewWater(share=none, gas_share=np.minimum(over / before_l, 1.0), litres=litres, mixed=none)
    if isinstance(what, Lost):
        share, none = 1.0 - after_l / before_l, np.zeros_like(after_l)
        return NewWater(share=share, gas_share=share, litres=none, mixed=none)
    assert isinstance(what, Change)
    share = np.full_like(after_l, what.share)
    litres = after_l - before_l * (1.0 - what.share)
    return NewWater(share=share, gas_share=share, litres=litres, mixed=litres / after_l, temp_c=what.temp_c)


def evaporating(done: Iterable[tuple[datetime, AnyAct]], start: datetime) -> tuple[Estimate | None, float]:
    """Litres a day by the top-ups that were entered, and for how many days the line had been falling."""
    acts = sorted(((at, a) for at, a in done if isinstance(a, TopUp | Change | Lost)), key=lambda one: one[0])
    topped = [(at, a.volume_l) for at, a in acts if isinstance(a, TopUp)]
    if len(topped) < 2 or topped[-1][0] <= topped[0][0]:
        return None, 0.0
    days = (topped[-1][0] - topped[0][0]) / timedelta(days=1)
    litres_d = sum(litres for _, litres in topped[1:]) / days
    before = [at for at, _ in acts if at < start]
    falling_d = (start - before[-1]) / timedelta(days=1) if before else 0.0
    return Estimate(litres_d, litres_d / UNSURE, litres_d * UNSURE), falling_d
