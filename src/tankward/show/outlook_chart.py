"""The strips of a suspected organism: one for each place in which it sits, over the bedside chart's days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tankward.knowledge.known import Facts
from tankward.model.falling import row_now
from tankward.model.result import Forecast, Outlook, Series
from tankward.room.acts import AnyAct
from tankward.room.replay import Room

from .bedside import PAST_DAYS, lane, window
from .charts.quiet import AHEAD_H
from .charts.records import Chart, Curve, Reading, Strip
from .words.places import few_said, place_words, span_said
from .words.suspected import also_there, if_it_is, line_said

# When a strip opens: one animal on a fish, five ill of 100 [our own choice].
OPENS_AT = {"1/fish": 1.0, "1": 0.05}
GROWS = 2.0  # in the water and on the floor: twice as many as now


def outlook_chart(
    found: Forecast,
    o: Outlook,
    room: Room,
    facts: Facts,
    *,
    zone: str,
    planned: Sequence[tuple[datetime, AnyAct]] = (),
    past_days: float = PAST_DAYS,
) -> Chart:
    """The strips that matter within a week, and the others in one line; maybe no strip at all.

    Parameters
    ----------
    found : Forecast
        Of the tank.
    o : Outlook
        One organism of it.
    room : Room
        What was done there.
    facts : Facts
        Names.
    zone : str
        Of the keeper's wall clock.
    planned : sequence of (instant, act)
        What is to come.
    past_days : float
        How much of the past is drawn. [d]
    """
    start = found.now - timedelta(days=past_days)
    keep = window(found, past_days)
    begins = found.now_h - past_days * 24
    places = [s for s in o.series if s.name != "fish_lost"]
    opens = [s for s in places if _opens(s, found)]
    quiet = [s for s in places if s not in opens]
    hosted = next((s for s in places if s.where in ("on fish", "in fish")), None)
    strips = tuple(_strip(s, found, keep, o if s is hosted else None, begins, s is hosted) for s in opens)
    return Chart(
        says=f"{if_it_is(o, facts)}: {'; '.join(_now_said(s, found) for s in opens)}",
        start=start.astimezone(ZoneInfo(zone)),
        now_h=past_days * 24,
        hours=np.array(found.times_h)[keep] - begins,
        strips=strips,
        acts=lane(room, found.tank, start, found.now, planned) if strips else (),
        quiet=also_there([_now_said(s, found) for s in quiet]),
    )


def _times(s: Series) -> float:
    """Shares of fish are told of a hundred."""
    return 100.0 if s.unit == "1" else 1.0


def _first(s: Series, found: Forecast) -> int:
    """Now, or the first time at which it is followed."""
    here = row_now(found)
    return here if np.isfinite(s.value[here]) else min(here + 1, len(s.value) - 1)


def _now_said(s: Series, found: Forecast) -> str:
    name, unit = place_words(s)
    here = _first(s, found)
    return line_said(name, unit, _times(s) * s.low[here], _times(s) * s.high[here])


def _opens(s: Series, found: Forecast) -> bool:
    """Enough of it within a week to be seen, or, off the fish, more and more of it."""
    times = np.array(found.times_h) - found.now_h
    near = (times >= 0) & (times <= AHEAD_H)
    most = float(np.nanmax(np.where(near, s.high, np.nan)))
    if s.unit in OPENS_AT:
        return most >= OPENS_AT[s.unit]
    here = s.value[_first(s, found)]
    return float(np.nanmax(np.where(near, s.value, np.nan))) >= max(GROWS * here, 1.0)


def _strip(
    s: Series, found: Forecast, keep: Curve, looks: Outlook | None, begins: float, lead: bool
) -> Strip:
    name, unit = place_words(s)
    bands = {"low": s.low, "q25": s.q25, "mid": s.value, "q75": s.q75, "high": s.high}
    times, here = _times(s), _first(s, found)
    return Strip(
        name=name,
        unit=unit if s.unit == "1" else f"number {unit}",
        value=few_said(times * s.value[here]),
        value_range=span_said(times * s.low[here], times * s.high[here]),
        readings=tuple(
            Reading(hour=c.at_h - begins, value=times * c.value, low=times * c.low, high=times * c.high)
            for c in (looks.looks if looks else ())
            if c.at_h >= begins
        ),
        dots="counted",
        said=few_said,
        lead=lead,
        **{k: times * np.array(v, dtype=np.float64)[keep] for k, v in bands.items()},
    )
