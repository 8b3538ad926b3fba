"""For how long a course holds each active over the highest level that was published for so long."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime
from itertools import pairwise

from tankward.judge.figures import usual
from tankward.knowledge.known import Facts
from tankward.model.levels import Point
from tankward.room.time import hours_between

from .put_back import Acts, Water, followed

NO_CLIMB = 1.05  # a peak this little over the level aimed at is that level [our own choice]


def exposure_h(active: str, peak: float, acts: Acts, ends: datetime, water: Water, facts: Facts) -> float:
    """Hours for which an active counts as standing at its peak.

    Parameters
    ----------
    active : str
        Id of a substance.
    peak : float
        Highest level of the course. [own unit]
    acts : list of (instant, act)
        Doses and changes of the course.
    ends : datetime
        When it is changed out.
    water : Water
        Volume, warmth, filter.
    facts : Facts
        Published courses and half-lives.

    Returns
    -------
    float
        The whole course; but where a lower level was published for so long, only the hours over that one. [h]

    Notes
    -----
    Between two acts the level is taken as falling evenly in its logarithm, at the slow end of what is known.
    """
    start = min(at for at, _ in acts)
    whole = hours_between(start, ends)
    line = published_for(active, whole, facts)
    if line is None or peak <= line * NO_CLIMB:
        return whole
    return min(whole, hours_over(line, followed(active, acts, water, facts, until=ends).points, ends))


def published_for(active: str, hours: float, facts: Facts) -> float | None:
    """The highest level published to be left in, or for at least so long; None where there is none."""
    rows = usual(active, "water", facts).published
    return max((level for level, tested in rows if tested is None or tested >= hours), default=None)


def hours_over(line: float, points: Sequence[Point], ends: datetime) -> float:
    """Hours over a level, from act to act."""
    spans = [(a.at, b.at, a.after.value, _kept(a, b)) for a, b in pairwise(points)]
    last = points[-1]
    if last.at < ends:
        spans.append((last.at, ends, last.after.value, 1.0))
    return sum(_over(line, hours_between(a, b), level, kept) for a, b, level, kept in spans)


def _kept(first: Point, second: Point) -> float:
    """Share that outlasts the wait, at the slow end."""
    return second.before.high / first.after.high if first.after.high > 0 else 1.0


def _over(line: float, hours: float, level: float, kept: float) -> float:
    if level <= line * NO_CLIMB:
        return 0.0
    if level * kept >= line or kept <= 0.0:
        return hours if kept > 0.0 else 0.0
    return hours * math.log(level / line) / -math.log(kept)
