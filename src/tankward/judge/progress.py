"""Progress of a course: helping, too early or not helping.

Where the life of the organism is in the facts and something is known of what the course does to it, the
counts since are held against what it makes of them each way (`helping.py`); else heads counted before and
since are compared. Fading signs never say that the cause is gone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import Literal

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.room.acts import LookAgain
from tankward.room.entries.acts import CourseBegun
from tankward.room.entries.animals import Death
from tankward.room.entries.looks import Look
from tankward.room.replay import Room

from .causes import Ranked, Ranking
from .helping import BEFORE, LEAST_D, Helped
from .hypotheses import said

Verdict = Literal["helping", "too-early", "not-helping"]
Why = Literal[
    "before-the-day", "not-counted", "within-chance", "fewer", "as-many", "more-dead",
    "likely", "likely-but-deaths", "too-little", "other-cause",
]  # fmt: skip
AGAIN = timedelta(days=3)  # where the counts can't tell, they are made again then [our own choice]
SURE = 0.9  # chance that fewer show it, from which it counts as fewer [our own choice]
NO_FALL = 0.5  # chance up to which nothing speaks for fewer [our own choice]
ENDS = (0.05, 0.95)
PRIOR = 0.5  # of Jeffreys' prior on a share
GRID = np.linspace(0.0005, 0.9995, 1000)


class Count(msgspec.Struct, frozen=True, kw_only=True):
    """Fish that showed a sign in one look, of those looked at."""

    ill: int
    of: int
    at: datetime


class Compared(msgspec.Struct, frozen=True, kw_only=True):
    """One sign before and since; `expected` is how many would show it now if nothing had changed."""

    sign: str
    before: Count
    since: Count | None
    expected: tuple[int, int] | None = None  # 5th to 95th centile
    fewer: float | None = None  # chance that a smaller share shows it now


class Progress(msgspec.Struct, frozen=True, kw_only=True):
    """What can be said of a course today."""

    verdict: Verdict
    why: Why
    course: CourseBegun
    day: int  # 1 on the day it began
    decidable_on: datetime
    rows: tuple[Compared, ...]
    dead_before: int
    dead_since: int
    pace: str  # hours, days or weeks: how fast the illness mostly shows; "" where no cause was named
    pace_source: str = "none"
    pace_status: str = ""
    dead_late: int = 0  # since the day before which nothing is said
    helped: Helped | None = None  # by the life of the organism; None: by heads alone

    @property
    def by_life(self) -> bool:
        """Whether the life of the organism was asked."""
        return self.helped is not None

    @property
    def worse(self) -> bool:
        """Whether more fish show a sign than chance explains, or more died since than before."""
        over = any(r.since and r.expected and r.since.ill > r.expected[1] for r in self.rows)
        return over or self.dead_since > self.dead_before


def progress(room: Room, tank: str, now: datetime, facts: Facts) -> Progress | None:
    """How the course that runs in a tank is doing.

    Parameters
    ----------
    room : Room
        The room after replay.
    tank : str
        Id of the tank.
    now : datetime
        With a zone.
    facts : Facts
        How fast the illness mostly shows.

    Returns
    -------
    Progress or None
        None where no course runs. Before the day of decision the verdict is "too-early", whatever is seen;
        after it, too, while counts are missing or chance alone explains them.
    """
    course = room.courses.get(tank)
    if course is None:
        return None
    looks = [k for k in room.looks(tank) if course.at - BEFORE <= k.at <= now]
    heads = _heads(room, tank, facts)
    rows = tuple(_compared(looks, course.at, heads))
    dead = [e for e in room.of_tank(tank) if isinstance(e, Death) and course.at - BEFORE <= e.at <= now]
    before = sum(e.number for e in dead if e.at < course.at)
    since = sum(e.number for e in dead if e.at >= course.at)
    on = decidable_on(course)
    verdict, why = _verdict(rows, before, since, now, on)
    if verdict == "too-early" and now >= on:
        on = now + AGAIN
    pace, source, status = _pace(course.cause, facts)
    return Progress(
        verdict=verdict, why=why, course=course, day=(now - course.at).days + 1, decidable_on=on, rows=rows,
        dead_before=before, dead_since=since, pace=pace, pace_source=source, pace_status=status,
    )  # fmt: skip


def by_life(found: Progress, helped: Helped | None, room: Room, now: datetime) -> Progress:
    """The same where the life of the organism was asked too; as it is where that told nothing.

    Parameters
    ----------
    found : Progress
        By heads alone.
    helped : Helped or None
        By the organism's life.
    room : Room
        Deaths there.
    now : datetime
        With a zone.

    Notes
    -----
    "helping" is withheld while fish go on dying after the day before which nothing is said, more than before.
    """
    if helped is None:
        return found
    dead = [e for e in room.of_tank(found.course.tank) if isinstance(e, Death)]
    late = sum(e.number for e in dead if helped.earliest <= e.at <= now)
    verdict, why = _by_chance(found, helped, late)
    on = _decidable(found, helped, verdict, now)
    return msgspec.structs.replace(
        found, verdict=verdict, why=why, decidable_on=on, helped=helped, dead_late=round(late)
    )


def _by_chance(found: Progress, helped: Helped, late: float) -> tuple[Verdict, Why]:
    chances, counted = helped.chances, helped.counted_at
    if counted is None or counted < helped.earliest:
        return "too-early", "before-the-day" if helped.telling or counted else "not-counted"
    verdict = said(helped.prior, chances)
    if verdict == "helping":
        dying = late > 0 and found.dead_since > found.dead_before
        return ("too-early", "likely-but-deaths") if dying else ("helping", "likely")
    if verdict == "not-helping":
        return "not-helping", "other-cause" if chances.other > chances.too_little else "too-little"
    return "too-early", "within-chance"


def _decidable(found: Progress, helped: Helped, verdict: Verdict, now: datetime) -> datetime:
    """The look that decided it; else the day by which looks tell; else the course's end, or a new count."""
    if verdict != "too-early" and helped.counted_at is not None:
        return helped.counted_at
    told = min((t.on for t in (helped.telling, helped.more) if t is not None), default=None)
    if told is not None:
        return told
    planned = decidable_on(found.course)
    return planned if planned > now else now + AGAIN


def fit_of(ranking: Ranking, seen: Sequence[str], course: CourseBegun) -> Ranked | None:
    """How well what is seen now fits the cause of the course; None where nothing is seen."""
    return next((r for r in ranking.ranked if r.id == course.cause), None) if seen else None


def decide_on(start: datetime, ends: datetime) -> datetime:
    """The day on which one can say whether it is helping: the end of the course, a week at the earliest."""
    return max(ends, start + timedelta(days=LEAST_D))


def decidable_on(course: CourseBegun) -> datetime:
    """The day of decision of a course that was begun; looks are no part of what it does."""
    acts = [s.at for s in course.steps if not isinstance(s.act, LookAgain)] or [course.at]
    return decide_on(min(acts), max(acts))


def _verdict(
    rows: Sequence[Compared], before: int, since: int, now: datetime, on: datetime
) -> tuple[Verdict, Why]:
    if now < on:
        return "too-early", "before-the-day"
    if since > before:
        return "not-helping", "more-dead"
    chances = [r.fewer for r in rows if r.fewer is not None]
    if not chances:
        return "too-early", "not-counted"
    if min(chances) > NO_FALL and max(chances) >= SURE and since == 0:
        return "helping", "fewer"
    if max(chances) <= NO_FALL:
        return "not-helping", "as-many"
    return "too-early", "within-chance"


def _heads(room: Room, tank: str, facts: Facts) -> int:
    """Fish in the tank, for a look that does not say how many were looked at."""
    fish = [s for s in room.stock_of(tank) if s.kind not in facts.plants and _is_fish(s.kind, facts)]
    return round(sum(s.number.value for s in fish))


def _is_fish(kind: str, facts: Facts) -> bool:
    return kind not in facts.animals or facts.animals[kind].kind == "fish"


def _compared(looks: Sequence[Look], begun: datetime, heads: int) -> Iterator[Compared]:
    """Each sign that was counted before: its last count before the course, and the last since."""
    earlier = [k for k in looks if k.at < begun]
    later = [k for k in looks if k.at >= begun]
    for sign in dict.fromkeys(s for k in earlier for s, n in k.counts.items() if n > 0):
        before = next(c for k in reversed(earlier) if (c := _count(k, sign, heads)) is not None)
        since = next((c for k in reversed(later) if (c := _count(k, sign, heads)) is not None), None)
        if since is None or not before.of or not since.of:
            yield Compared(sign=sign, before=before, since=None)
            continue
        yield Compared(
            sign=sign, before=before, since=since, expected=as_before(before, since.of),
            fewer=chance_fewer(before, since),
        )  # fmt: skip


def _count(look: Look, sign: str, heads: int) -> Count | None:
    """What a look says of a sign in numbers; not there is none of them."""
    if sign in look.counts:
        ill = round(look.counts[sign])
    elif sign in look.absent or look.well:
        ill = 0
    else:
        return None
    return Count(ill=ill, of=max(round(look.looked_at or heads), ill), at=look.at)


def as_before(before: Count, of: int) -> tuple[int, int]:
    """How many of so many would show it if the share were what it was: 5th to 95th centile.

    Notes
    -----
    Beta-binomial of the earlier count with Jeffreys' prior: the earlier count was itself a sample.
    """
    a, b = before.ill + PRIOR, before.of - before.ill + PRIOR
    chances = np.array([math.exp(_log_choose(of, k) + _log_beta(a + k, b + of - k) - _log_beta(a, b))
                        for k in range(of + 1)])  # fmt: skip
    sums = np.cumsum(chances)
    low, high = (int(np.searchsorted(sums, end)) for end in ENDS)
    return low, min(high, of)


def chance_fewer(before: Count, since: Count) -> float:
    """Chance that the share that shows it is smaller now. [0 to 1]"""
    then, now = _density(before), _density(since)
    return float(np.sum(then * (np.cumsum(now) - now / 2)))


def _density(count: Count) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    logs = (count.ill + PRIOR - 1) * np.log(GRID) + (count.of - count.ill + PRIOR - 1) * np.log(1 - GRID)
    weight = np.exp(logs - logs.max())
    return np.asarray(weight / weight.sum())


def _log_choose(n: int, k: int) -> float:
    return math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)


def _log_beta(a: float, b: float) -> float:
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def _pace(cause: str, facts: Facts) -> tuple[str, str, str]:
    """How fast the illness mostly shows, with where that comes from."""
    record = facts.causes.get(cause)
    if record is None:
        return "", "none", ""
    chances = {name: sum(getattr(record.course, name)) for name in ("hours", "days", "weeks")}
    return max(chances, key=lambda n: chances[n]), record.basis.source, record.basis.status
