"""Chances of harm while a course runs, and that it clears the illness, from the forecast of its acts."""

from __future__ import annotations

from datetime import datetime, timedelta
from math import sqrt

import msgspec

from tankward.judge.choices import LC50_REFUSED, NH3_CARE, NH3_DANGER, NITRITE_CARE, OXYGEN_CARE, Choice
from tankward.judge.limit import Limit
from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Forecast, Outlook
from tankward.model.suspect import Suspect, of_causes
from tankward.room.replay import Room

from .acts import planned_acts
from .records import Course

DAY_H = 24.0
LONGEST_D = 30.0  # a forecast further than this says little [our own choice]
Z90 = 1.645  # 5th to 95th centile
NO_GERM = ("clear",)  # no organism stands behind what the course is for
MOST_GERMS = 3  # followed at once, so that nobody waits [our own choice]


class ChanceOf(msgspec.Struct, frozen=True, kw_only=True):
    """A chance with its range from the number of draws; `line` is the level that must not be passed."""

    what: str  # over-limit, over-ceiling, nh3, nitrite, oxygen
    about: str  # a substance, or the series
    who: tuple[str, ...] = ()
    line: float
    unit: str
    by: datetime
    low: float
    value: float
    high: float
    source: str = "none"
    status: str = "computed"


class Chances(msgspec.Struct, frozen=True, kw_only=True):
    """Chances of harm, what becomes of each germ that it is for, and which chances nobody can give."""

    rows: tuple[ChanceOf, ...]
    cleared: tuple[Outlook, ...] = ()
    withheld: tuple[str, ...] = ()


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
        that stresses, oxygen under what sick fish want; each up to the end of the course. Of each organism
        behind its causes the chance that it is gone. A tub of its own is not simulated: withheld.

    Notes
    -----
    The range is that of a share counted on so many weighted draws, not of the model's own faults.
    """
    if course.place == "tub":
        return Chances(rows=(), withheld=(*NO_GERM, "tub"))
    found = course_forecast(course, room, tank_id, now, facts, draws=draws)
    by = min(course.ends, now + timedelta(days=_days(course, now)))
    rows = [*_over_limits(course, found, by), *_over_ceilings(course, found, by, facts)]
    rows += _water(found, by)
    return Chances(
        rows=tuple(rows), cleared=found.outlooks, withheld=() if _germs(course, facts) else NO_GERM
    )


def course_forecast(
    course: Course, room: Room, tank_id: str, now: datetime, facts: Facts, *, draws: int = 256
) -> Forecast:
    """What comes in a tank with the acts of a course, and of each germ that it is for."""
    return forecast(
        room, tank_id, now, facts=facts, days=_days(course, now), planned=planned_acts(course), draws=draws,
        suspects=_germs(course, facts),
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


def refused_from(limit: Limit) -> float | None:
    """The level from which this inhabitant is refused: its cap, a quarter of its LC50, else its limit."""
    hard = [limit.cap] if limit.cap is not None else []
    hard += [limit.lc50 * LC50_REFUSED.value] if limit.lc50 is not None else []
    return min(hard) if hard else limit.level


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
    lines: tuple[tuple[str, str, Choice], ...] = (
        ("nh3", "nh3_n", NH3_CARE),
        ("nh3-danger", "nh3_n", NH3_DANGER),
        ("nitrite", "nitrite_n", NITRITE_CARE),
    )
    rows = [
        _row(what, name, found.chance(name, above=c.value), found, c.value, c.unit, by, (), c.source)
        for what, name, c in lines
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


def counted(share: float, draws: float) -> tuple[float, float]:
    """5th and 95th centile of a share counted on so many draws (Wilson)."""
    n, z = max(draws, 1.0), Z90
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return max(0.0, middle - half), min(1.0, middle + half)
