"""Two strips on one scale: how many would show it if the course is helping, and if it does too little. Dots
are what was counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tankward.judge.expected import DayBand
from tankward.judge.progress import Progress
from tankward.knowledge.known import Facts
from tankward.model.counts import OnFish, Told
from tankward.room.acts import AnyAct
from tankward.room.replay import Room

from .bedside import lane
from .charts.records import Chart, Reading, Strip
from .words.progress import strip_names, strip_unit


def progress_chart(
    found: Progress,
    room: Room,
    now: datetime,
    zone: str,
    facts: Facts,
    *,
    says: str,
    planned: Sequence[tuple[datetime, AnyAct]] = (),
) -> Chart | None:
    """The chart of a course; None where the life of its organism was not asked.

    Parameters
    ----------
    found : Progress
        How it stands.
    room : Room
        What was done there.
    now : datetime
        With a zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        Names.
    says : str
        The finding; the chart's name for ears.
    planned : sequence of (instant, act)
        What is to come.
    """
    helped = found.helped
    if helped is None or len(helped.days) < 2:
        return None
    start = helped.days[0].at
    e, names = helped.expected, strip_names()
    most = _most(helped.days, e.of, single=e.single)
    dots = _dots(helped.looks, e.sign, e.of, start, single=e.single)
    each = ([d.if_helping for d in helped.days], [d.if_too_little for d in helped.days])
    strips = tuple(
        _strip(name, np.array(rows).T, strip_unit(e), dots, most, lead=n == 0)
        for n, (name, rows) in enumerate(zip(names, each, strict=True))
    )
    hours = np.array([(d.at - start) / timedelta(hours=1) for d in helped.days])
    ahead = [(at, act) for at, act in planned if at <= helped.days[-1].at]
    return Chart(
        says=says,
        start=start.astimezone(ZoneInfo(zone)),
        now_h=(now - start) / timedelta(hours=1),
        hours=hours,
        strips=strips,
        acts=lane(room, found.course.tank, start, now, ahead),
    )


def _most(days: Sequence[DayBand], of: int, *, single: bool) -> float:
    if not single:
        return float(of)
    return max(max(*d.if_helping, *d.if_too_little) for d in days)


def _dots(looks: Sequence[Told], sign: str, of: int, start: datetime, *, single: bool) -> tuple[Reading, ...]:
    """What was counted of that sign, as of so many fish; what was told without a number with its ends."""
    kept = [t for t in looks if t.sign == sign and isinstance(t, OnFish) == single and t.at >= start]
    rows = []
    for t in kept:
        low, high = (end * of / t.of for end in (t.low, getattr(t, "high", t.low)))
        ends = {} if low == high else {"low": low, "high": high}
        hour = (t.at - start) / timedelta(hours=1)
        rows.append(Reading(hour=hour, value=(low + high) / 2.0, **ends))
    return tuple(rows)


def _strip(
    name: str, rows: np.ndarray, unit: str, dots: tuple[Reading, ...], most: float, *, lead: bool
) -> Strip:
    low, q25, mid, q75, high = rows
    return Strip(
        name=name, unit=unit, kind="expected", mid=mid, low=low, q25=q25, q75=q75, high=high,
        readings=dots, dots="looked", lead=lead, said=lambda v: f"{v:.0f}", most=most,
    )  # fmt: skip
