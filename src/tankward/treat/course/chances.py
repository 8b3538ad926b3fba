"""Chances of harm while a course runs, and that it clears the illness, from the forecast of its acts."""

from __future__ import annotations

from datetime import datetime, timedelta

from tankward.judge.choices import OXYGEN_CARE
from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Forecast
from tankward.model.suspect import Suspect, of_causes
from tankward.room.acts import Apart
from tankward.room.replay import Room

from .acts import from_now, planned_acts
from .chance_of import LINES, NO_GERM, ChanceOf, Chances, PartGone, counted, refused_from
from .chances_tub import tub_chances
from .records import Course

__all__ = ["ChanceOf", "Chances", "PartGone", "counted", "course_chances", "course_forecast", "refused_from"]

DAY_H = 24.0
LONGEST_D = 30.0  # a forecast further than this says little [our own choice]
MOST_GERMS = 3  # followed at once, so that nobody waits [our own choice]


def course_chances(
    course: Course, room: Room, tank_id: str, now: datetime, facts: Facts, *, draws: int = 256
) -> Chances:
    """How likely the course harms somebody by its level or by the water.

    Parameters
    ----------
    course : Course
        What is planned.
    room : Room
        What happened so far.
    tank_id : str
        The tank.
    now : datetime
        From here on.
    facts : Facts
        The facts.
    draws : int
        64, 128, 256, 512 or 1024.

    Returns
    -------
    Chances
        Of passing the level at which an inhabitant would be refused, a ceiling, 0.02 mg/L of NH3-N, nitrite
        that stresses, oxygen under what sick fish want; each up to the end of the course, in the tub beside
        the tank too. Of each organism behind its causes the chance that it is gone: from both.

    Notes
    -----
    The range is that of a share counted on so many weighted draws, not of the model's own faults.
    """
    if any(isinstance(s.act, Apart) for s in course.steps):
        return tub_chances(course, room, tank_id, now, facts, _germs(course, facts), draws=draws)
    found = course_forecast(course, room, tank_id, now, facts, draws=draws)
    by = min(course.ends, now + timedelta(days=_days(course, now)))
    rows = [*_over_limits(course, found, by), *_over_ceilings(course, found, by, facts)]
    rows += _water(found, by)
    return Chances(
        rows=tuple(rows), cleared=found.outlooks, withheld=() if _germs(course, facts) else NO_GERM,
        without=bool(course.remedy),
    )  # fmt: skip


def course_forecast(
    course: Course, room: Room, tank_id: str, now: datetime, facts: Facts, *, draws: int = 256
) -> Forecast:
    """What comes in a tank with the acts of a course, and of each germ that it is for."""
    return forecast(
        room, tank_id, now, facts=facts, days=_days(course, now), planned=from_now(planned_acts(course), now),
        draws=draws, suspects=_germs(course, facts),
    )  # fmt: skip


def _germs(course: Course, facts: Facts) -> tuple[Suspect, ...]:
    return of_causes([(cause, None) for cause in course.causes], facts)[:MOST_GERMS]


def _days(course: Course, now: datetime) -> float:
    return min(LONGEST_D, max(1.0, (course.ends - now).total_seconds() / 3600.0 / DAY_H))


def _over_limits(course: Course, found: Forecast, by: datetime) -> list[ChanceOf]:
    there = {s.name for s in found.series}
    rows = []
    for limit in course.limits:
        line = refused_from(limit)
        if line is not None and limit.part in there:
            chance = found.chance(limit.part, above=line)
            rows.append(
                _row(
                    "over-limit", limit.part, chance, found, line, limit.unit, by, (limit.who,), limit.source
                )
            )
    return rows


def _over_ceilings(course: Course, found: Forecast, by: datetime, facts: Facts) -> list[ChanceOf]:
    there = {s.name for s in found.series}
    parts = dict.fromkeys(limit.part for limit in course.limits)
    rows = []
    for part in parts:
        for row in facts.substances[part].ceiling:
            if part in there:
                chance = found.chance(part, above=row.refuse_above)
                rows.append(
                    _row("over-ceiling", part, chance, found, row.refuse_above, row.unit, by, (), row.source)
                )
    return rows


def _water(found: Forecast, by: datetime) -> list[ChanceOf]:
    rows = [
        _row(what, name, found.chance(name, above=c.value), found, c.value, c.unit, by, (), c.source)
        for what, name, c in LINES
    ]
    c = OXYGEN_CARE
    low = found.chance("oxygen", below=c.value)
    return [*rows, _row("oxygen", "oxygen", low, found, c.value, c.unit, by, (), c.source)]


def _row(
    what: str,
    about: str,
    chance: float,
    found: Forecast,
    line: float,
    unit: str,
    by: datetime,
    who: tuple[str, ...],
    source: str,
) -> ChanceOf:
    low, high = counted(chance, found.effective_draws)
    return ChanceOf(
        what=what, about=about, who=who, line=line, unit=unit, by=by, low=low, value=chance, high=high,
        source=source,
    )  # fmt: skip
