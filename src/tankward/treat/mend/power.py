"""How long the oxygen lasts without power, tank by tank, and which one comes first."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

import msgspec
import numpy as np

from tankward.judge.choices import OXYGEN_CARE, OXYGEN_DANGER
from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Forecast
from tankward.quantities.faults import BadInput
from tankward.room.acts import PowerBack, PowerCut
from tankward.room.replay import Room
from tankward.room.time import hours_between

AHEAD_H = 8.0  # a night without power [our own choice]
PAST_D = 1.0 / 24.0  # the run begins at rest, and the last readings count
DRAWS = 64
CENTILES = (0.05, 0.5)


class Lasts(msgspec.Struct, frozen=True, kw_only=True):
    """Hours until a tank is short of oxygen: at the cautious end (5th centile of the hours), as is likely.

    None: not within eight hours. `care`: under what sick fish want; `danger`: under the floor of a calm,
    healthy fish. `fault`: why it can't be told.
    """

    tank: str
    care: tuple[float | None, float | None] = (None, None)
    danger: tuple[float | None, float | None] = (None, None)
    fault: str = ""

    @property
    def first(self) -> tuple[float, float]:
        """By which the tanks are ordered: the danger, then the care."""
        return tuple(AHEAD_H if h is None else h for h in (self.danger[0], self.care[0]))  # type: ignore[return-value]


def oxygen_lasts(room: Room, tank: str, now: datetime, facts: Facts, off: str = "all") -> Lasts:
    """How long the oxygen of a tank lasts from now on without power.

    Parameters
    ----------
    room : Room
        The logbook, replayed; a power cut that is written down already goes on.
    tank : str
        Its id.
    now : datetime
        With zone.
    facts : Facts
        The facts.
    off : str
        all, filter or heater.

    Notes
    -----
    The forecast of the tank (64 draws, eight hours) with a power cut from now on: fish, filter and plants
    breathe on, air and flow are gone. Each draw counts by how well it explains that the fish lived until now.
    """
    planned = () if is_off(room, tank, now) else ((now, PowerCut(off=off)),)
    try:
        made = forecast(
            room, tank, now, facts=facts, days=AHEAD_H / 24.0, past_days=PAST_D, draws=DRAWS, planned=planned
        )
    except BadInput as fault:
        return Lasts(tank=tank, fault=str(fault))
    return Lasts(tank=tank, care=_under(made, OXYGEN_CARE.value), danger=_under(made, OXYGEN_DANGER.value))


def which_first(
    room: Room, now: datetime, facts: Facts, off: str = "all", *, besides: Collection[str] = ()
) -> tuple[Lasts, ...]:
    """Every tank in which somebody lives, the one that is short of oxygen first at the head."""
    lived_in = [t for t in room.tanks if t not in besides and room.stock_of(t)]
    return tuple(sorted((oxygen_lasts(room, t, now, facts, off) for t in lived_in), key=lambda x: x.first))


def is_off(room: Room, tank: str, now: datetime) -> str:
    """What is without power: all, filter or heater; "" where nothing is, as far as it is written down."""
    cuts = [(at, act) for at, act in room.acts(tank) if isinstance(act, PowerCut | PowerBack) and at <= now]
    if not cuts or isinstance(cuts[-1][1], PowerBack):
        return ""
    at, act = cuts[-1]
    assert isinstance(act, PowerCut)
    return act.off if act.hours is None or hours_between(at, now) < act.hours else ""


def _under(made: Forecast, line: float) -> tuple[float | None, float | None]:
    """Hours to the first time under a line, at the 5th and the 50th centile of the draws."""
    times = np.array(made.times_h) - made.now_h
    ahead = times >= -1e-9
    under, hours = made.record.levels("oxygen")[ahead] < line, times[ahead]
    first = np.where(under.any(axis=0), hours[np.argmax(under, axis=0)], np.inf)
    order = np.argsort(first)
    share = np.cumsum(made.weights[order]) / made.weights.sum()
    ends = [float(first[order][np.searchsorted(share, q - 1e-9)]) for q in CENTILES]
    low, likely = (None if np.isinf(h) else max(h, 0.0) for h in ends)
    return low, likely
