"""What the looks changed, as the rows that leave."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.model.counts import Deaths
from tankward.model.learned import Explained
from tankward.model.result import GoneBy, Outlook
from tankward.quantities.parse import Estimate

from .results_forecast import RangeRow, TaughtRow, ToldRow
from .words.taught import taught_says


def zone_of(now: datetime) -> str:
    """The name of the zone of an instant; UTC where it has none."""
    return str(getattr(now.tzinfo, "key", "UTC"))


def taught_row(o: Outlook, now: datetime, facts: Facts) -> TaughtRow | None:
    """What the looks changed; None where none told anything."""
    t = o.taught
    if t is None:
        return None
    return TaughtRow(
        growth_before=_growth(t.growth_before), growth=_growth(t.growth), slower=t.slower,
        gone_before=[_gone(c) for c in t.gone_before], gone=[_gone(c) for c in o.chances],
        looks=[_told(e) for e in t.explained], fits=t.fits, power=t.power, draws=t.effective_draws,
        of=t.draws, says=taught_says(o, now, zone_of(now), facts),
    )  # fmt: skip


def _growth(e: Estimate) -> RangeRow:
    return RangeRow(low=e.low, value=e.value, high=e.high, unit="1/d")


def _gone(c: GoneBy) -> RangeRow:
    return RangeRow(low=c.low, value=c.value, high=c.high, unit="1", days=c.days)


def _told(e: Explained) -> ToldRow:
    told = e.told
    dead = isinstance(told, Deaths)
    return ToldRow(
        at=told.at.isoformat(timespec="minutes"), sign="" if isinstance(told, Deaths) else told.sign,
        low=told.number if isinstance(told, Deaths) else told.low,
        high=told.number if isinstance(told, Deaths) else getattr(told, "high", told.low),
        of=None if dead else getattr(told, "of", None), more=e.more, fewer=e.fewer, off=e.off,
    )  # fmt: skip
