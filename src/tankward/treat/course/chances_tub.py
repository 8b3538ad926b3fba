"""Chances of a course with fish in a tub: two waters, one outbreak."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from tankward.judge.choices import OXYGEN_CARE
from tankward.knowledge.known import Facts
from tankward.model.bands import centiles, effective
from tankward.model.judged import Judged
from tankward.model.judging import Prospect
from tankward.model.prospect import prospect
from tankward.model.result import GoneBy, Outlook
from tankward.model.rows import Array
from tankward.model.suspect import Suspect
from tankward.room.replay import Room

from .beside import Beside, stays, together
from .chance_of import LINES, NO_GERM, ChanceOf, Chances, PartGone, counted, refused_from
from .records import Course

LONGEST_TUB_D = 60.0  # of a tank without fish: in cool water it takes so long
AGAIN = ("tub-again",)  # the fish go into the tub more than once
Flags = NDArray[np.bool_]


def tub_chances(
    course: Course,
    room: Room,
    tank_id: str,
    now: datetime,
    facts: Facts,
    germs: Sequence[Suspect],
    *,
    draws: int = 256,
) -> Chances:
    """How likely a course with fish in a tub harms somebody in either water, and that it clears both.

    Parameters
    ----------
    course : Course
        What is planned.
    room, tank_id, now, facts, draws
        As of `course_chances`.
    germs : sequence of Suspect
        Organisms that it is for.
    """
    days = min(LONGEST_TUB_D, max(1.0, (course.ends - now) / timedelta(days=1)))
    by = min(course.ends, now + timedelta(days=days))
    ready = prospect(room, tank_id, now, facts, days=days, suspects=germs, draws=draws)
    tank, tub = Beside(ready, room, tank_id, facts).apart(course, by)
    rows = list(_waters(tank, ready, by, "tank"))
    if tub is not None:
        rows += [*_levels(course, tub, ready, by, facts), *_waters(tub, ready, by, "tub")]
    again = len(stays(course)) > 1
    both, parts = together(tank, tub), [("tank", tank), *([("tub", tub)] if tub else [])]
    return Chances(
        rows=tuple(rows),
        cleared=tuple(
            _outlook(one, both, ready, by, _killing(course, one, facts)) for one in (() if again else germs)
        ),
        withheld=AGAIN if again else () if germs else NO_GERM,
        parts=tuple(
            PartGone(organism=name, where=where, **_spread(gone.chance[-1], ready.weights_of(name)))
            for where, judged in parts for name, gone in judged.gone.items()
        ),
        without=bool(course.remedy),
    )  # fmt: skip


def _killing(course: Course, one: Suspect, facts: Facts) -> tuple[str, ...]:
    """Actives of the course that are known to kill some of it."""
    given = {a.substance for dose in course.doses for a in dose.actives}
    return tuple(sorted(given & {k.substance for k in facts.organisms[one.organism].kill if k.use}))


def _outlook(one: Suspect, both: Judged, ready: Prospect, by: datetime, acts: tuple[str, ...]) -> Outlook:
    """What is said of a germ: gone from both waters, or of which substance nobody knows what it does."""
    gone = both.gone.get(one.organism)
    chances: tuple[GoneBy, ...] = ()
    if gone is not None:
        spread = _spread(gone.chance[-1], ready.weights_of(one.organism))
        chances = (GoneBy(by=by, days=(by - ready.now) / timedelta(days=1), **spread),)
    return Outlook(
        organism=one.organism, cause=one.cause, likely=one.chance, since_h=0.0, counted=False, series=(),
        chances=chances, holds=gone.holds if gone else "cautious-bound",
        withheld=both.withheld.get(one.organism, ()), acts=acts,
    )  # fmt: skip


def _spread(chance: Array, weights: Array) -> dict[str, float]:
    """Mean and 5th and 95th centile of a chance, of weighted draws."""
    low, high = (float(x) for x in centiles(chance, weights, (0.05, 0.95)))
    value = float(chance @ weights / weights.sum())
    return {"low": min(low, value), "value": value, "high": max(high, value)}


def _levels(course: Course, tub: Judged, ready: Prospect, by: datetime, facts: Facts) -> list[ChanceOf]:
    """Levels of what is dosed into the tub, against those who are in it."""
    rows = []
    for limit in course.limits:
        line = refused_from(limit)
        if line is not None and limit.part in tub.peaks:
            over = tub.peaks[limit.part] > line
            rows.append(_counted("over-limit", limit.part, over, ready, line, limit.unit, by, "tub",
                                 who=(limit.who,), source=limit.source))  # fmt: skip
    for part in dict.fromkeys(limit.part for limit in course.limits):
        for row in facts.substances[part].ceiling:
            if part in tub.peaks:
                over = tub.peaks[part] > row.refuse_above
                rows.append(_counted("over-ceiling", part, over, ready, row.refuse_above, row.unit, by, "tub",
                                     source=row.source))  # fmt: skip
    return rows


def _waters(judged: Judged, ready: Prospect, by: datetime, where: str) -> Iterator[ChanceOf]:
    """Ammonia, nitrite and oxygen of one of the two waters."""
    for what, name, c in LINES:
        passed = judged.peaks[name] > c.value
        yield _counted(what, name, passed, ready, c.value, c.unit, by, where, source=c.source)
    c = OXYGEN_CARE
    low = judged.lowest["oxygen"] < c.value
    yield _counted("oxygen", "oxygen", low, ready, c.value, c.unit, by, where, source=c.source)


def _counted(
    what: str,
    about: str,
    happens: Flags,
    ready: Prospect,
    line: float,
    unit: str,
    by: datetime,
    where: str,
    *,
    who: tuple[str, ...] = (),
    source: str = "none",
) -> ChanceOf:
    chance = min(float(ready.weights[happens].sum() / ready.weights.sum()), 1.0)
    low, high = counted(chance, effective(ready.weights))
    return ChanceOf(
        what=what, about=about, who=who, line=line, unit=unit, by=by, low=low, value=chance, high=high,
        source=source, where=where,
    )  # fmt: skip
