"""Who bears what is in the water now and in the days to come."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tankward.judge.choices import LC50_HOURS
from tankward.judge.limits import limits
from tankward.judge.trials import trials_of
from tankward.judge.verdicts import Verdict, judge_levels
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.quantities.parse import Estimate
from tankward.room.entries.acts import CourseBegun
from tankward.room.replay import Room
from tankward.treat.course.request import still_in
from tankward.treat.medicine import is_medicine

TRACE = 0.01  # of a level that once stood; less is nothing to warn of [our own choice]


def in_water(
    room: Room, tank: str, now: datetime, facts: Facts, found: Forecast | None
) -> dict[str, Estimate]:
    """Each substance with its highest level from now on; without a forecast, what is left. [own unit]"""
    if found is None:
        left = still_in(room, tank, facts, now)
        return {s: Estimate.exact(x) for s, x in left.items() if x > 0.0 and is_medicine(s, facts)}
    levels = {}
    for series in found.series:
        if series.kind == "substance" and is_medicine(series.name, facts):
            top = found.peak(series.name)
            if top.value > TRACE * max(series.value, default=0.0):
                levels[series.name] = Estimate(top.value, top.low, top.high)
    return levels


def bears_here(
    room: Room, tank: str, levels: Mapping[str, Estimate], facts: Facts, course: CourseBegun | None = None
) -> tuple[Verdict, ...]:
    """Everybody who lives there against each substance, for as long as the course stands in the water."""
    stock = room.stock_of(tank)
    hours = _hours(course)
    found: list[Verdict] = []
    for substance, level in levels.items():
        made = limits(substance, stock, facts, hours=hours or LC50_HOURS.value, trials=trials_of(room, tank))
        found += judge_levels(made, {substance: (level.low, level.value, level.high)}, hours, facts)
    return tuple(found)


def _hours(course: CourseBegun | None) -> float:
    """From the first to the last step; 0 where no course runs: its time was judged when it was given."""
    times = [s.at for s in course.steps] if course else []
    return (max(times) - min(times)).total_seconds() / 3600 if times else 0.0
