"""What today's readings changed: the same forecast of the water as it would stand without them.

What counts of signs change is told by the outlook itself, which weighs the lives of an organism by them.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Extreme, Forecast
from tankward.quantities.parse import Estimate
from tankward.room.acts import AnyAct
from tankward.room.entries.base import Entry
from tankward.room.entries.water import ReadingTaken
from tankward.room.log import Log
from tankward.room.replay import Room
from tankward.room.time import day_of

Planned = Sequence[tuple[datetime, AnyAct]]
WIDER = 1.5  # times as wide or as narrow: worth telling [our own choice]


class Moved(msgspec.Struct, frozen=True, kw_only=True):
    """One extreme without today's readings, and with them. `kind`: peak or least."""

    name: str
    kind: str
    unit: str
    before: Estimate
    after: Estimate

    @property
    def matters(self) -> bool:
        """Whether the likely figure left the range it had, or the range is a half wider or narrower."""
        old, new = self.before, self.after
        widths = sorted((old.high - old.low, new.high - new.low))
        return not old.low <= new.value <= old.high or widths[0] * WIDER < widths[1]


class Learned(msgspec.Struct, frozen=True, kw_only=True):
    """The quantities read today, and what they moved; nothing where nothing was read."""

    read: tuple[str, ...] = ()
    moved: tuple[Moved, ...] = ()


def learned(room: Room, found: Forecast, planned: Planned, zone: str, facts: Facts) -> Learned:
    """What today's readings changed in a forecast; takes as long as the water of it.

    Parameters
    ----------
    room : Room
        As it stands.
    found : Forecast
        Of one of its tanks, with everything that was entered.
    planned : sequence of (instant, act)
        What it was made with.
    zone : str
        Of the keeper's wall clock, by which a day ends.
    facts : Facts
        The facts.
    """
    today = [e for e in room.of_tank(found.tank) if _read_today(e, found.now, zone)]
    if not today:
        return Learned()
    read = dict.fromkeys(r.quantity for e in today if isinstance(e, ReadingTaken) for r in e.values)
    before = _without({e.id for e in today}, room, found, planned, facts)
    old = {(e.name, e.kind): e for e in before.extremes}
    moved = [
        Moved(name=e.name, kind=e.kind, unit=e.unit, before=_of(old[e.name, e.kind]), after=_of(e))
        for e in found.extremes
        if (e.name, e.kind) in old
    ]
    return Learned(read=tuple(read), moved=tuple(moved))


def _read_today(entry: Entry, now: datetime, zone: str) -> bool:
    told = isinstance(entry, ReadingTaken) and entry.where == "tank" and entry.at <= now
    return told and day_of(entry.at, zone) == day_of(now, zone)


def _without(ids: set[str], room: Room, found: Forecast, planned: Planned, facts: Facts) -> Forecast:
    then = msgspec.structs.replace(room, log=Log(e for e in room.log if e.id not in ids))
    days = (found.times_h[-1] - found.now_h) / 24.0
    return forecast(
        then, found.tank, found.now, facts=facts, days=days, planned=planned, draws=found.weights.size
    )


def _of(e: Extreme) -> Estimate:
    return Estimate(e.value, e.low, e.high)
