"""An organism forward through the tank: rows on a table of steps of their own, over the water's record."""

from __future__ import annotations

from types import SimpleNamespace

import msgspec
import numpy as np

from tankward.knowledge import rules

from . import run as forms
from .happening import by_minute, happens
from .integrate_rows import Rates, Shares, shares, step
from .lives.kills import Reach
from .lives.tables import HOSTED, Around
from .organisms import Life
from .processes.organism import rates as body
from .processes.organism import see
from .rows import ALL, Array, Rows
from .surroundings import Surroundings

DAY_MIN = 1440
STEPS_MIN = (360, 240, 180, 120, 60, 30)  # divisors of a day
STEADY = 0.5  # step × fastest rate between rows or of birth; holds 2e-4 in every organism of the facts
DOSED_MIN = 60  # with a substance that acts
AFTER_MIN = (3, 6, 10, 15, 22, 30, 40, 50, 60, 75, 90, 105, 120, 140, 160, 180)  # a dose does its first work
CROWDED_MIN = 120  # where a ceiling, not the rate of growth, sets the pace
BACK_MIN = 360  # step of the time before the beginning
FRESH = 24  # steps after which the exact part of the losses is taken anew, as the fish become fewer
NOTHING = 1e-6  # 1/d: a substance that kills slower than this is gone


class Course(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a run reads."""

    life: Life
    around: Surroundings
    begin: int  # minute
    end: int
    start: Array  # rows × draws
    reach: tuple[Reach, ...] = ()
    feed: tuple[Reach, ...] = ()
    every: int = 60
    infected_d: float = 0.0  # days since the first were infected, at the beginning


class Passed(msgspec.Struct, frozen=True, kw_only=True):
    """Rows at each edge of the steps; twice where something happened: before, after."""

    minutes: tuple[int, ...]
    rows: Array  # times × rows × draws


class Walk:
    """Paces and deaths by substances at instants, each worked out once while nothing changes."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self._kept: dict[tuple[object, ...], Rows] = {}
        self._none = np.zeros((course.life.table.rows, course.life.draws))

    def pace(self, minute: float, *, after: bool) -> Rows:
        """Rates and shares at an instant."""
        key = self.course.around.key(minute, after=after)
        if key not in self._kept:
            self._kept = dict(list(self._kept.items())[-3:])
            self._kept[key] = self.course.life.pace(self.course.around.around(minute, after=after))
        days = self.course.infected_d + (minute - self.course.begin) / DAY_MIN
        return self.course.life.resisting(self._kept[key], days)

    def kill(self, minute: float, *, after: bool) -> Array:
        """Death rate of each row by substances in the water and in the food. [1/d]"""
        if not self.course.reach and not self.course.feed:
            return self._none
        out = self._none
        for reach in self.course.reach:
            level = self.course.around.level(reach.substance, minute, after=after)
            out = _added(out, reach, reach.rate(level, self.warmth(minute, after=after, reach=reach)))
        strengths = self.course.around.stands(minute, after).medicated
        for reach in self.course.feed:
            if reach.substance in strengths:
                warmth = self.warmth(minute, after=after, reach=reach)
                out = _added(out, reach, reach.rate(strengths[reach.substance], warmth))
        return out

    def warmth(self, minute: float, *, after: bool, reach: Reach | None = None) -> Array | None:
        """Of the water, for a substance that was read at a temperature. [°C]"""
        if reach is not None and not reach.warm:
            return None
        return self.course.around.around(minute, after=after).temp_c

    def edges(self) -> list[int]:
        """Minutes at which steps begin, and the end."""
        c = self.course
        grid = range(c.begin - c.begin % c.every + c.every, c.end, c.every)
        acts = [t.minute for t in c.around.happening if c.begin <= t.minute <= c.end]
        sharp = [m + off for m in (c.begin, *acts) for off in AFTER_MIN] if c.reach or c.feed else []
        return sorted({c.begin, c.end, *grid, *acts, *(m for m in sharp if m < c.end)})


def _added(out: Array, reach: Reach, rate: Array) -> Array:
    if not (rate > NOTHING).any():
        return out
    more = out.copy()
    more[list(reach.rows)] += rate
    return more


def step_min(life: Life, e: Around, *, dosed: bool = False) -> int:
    """Longest step that passes over none of the rates at which rows go on or are born. [min]"""
    p, t = life.pace(e), life.table
    alone = (t.taken == 0) & ((t.lose == 1) | (t.source == t.gain)) & (t.source != t.corpse)
    fastest = float(p.rate.max(axis=1)[alone].max())
    longest = next((m for m in STEPS_MIN if m / DAY_MIN * fastest <= STEADY), STEPS_MIN[-1])
    crowds = bool(((t.given > 0) & (t.source == t.gain)).any())
    longest = min(longest, CROWDED_MIN) if crowds else longest
    return min(longest, DOSED_MIN) if dosed else longest


def filled(life: Life, e: Around, start: Array) -> Array:
    """The rows outside the fish, as a burden has filled them that was the same for a fortnight."""
    work, p = workspace(life), life.pace(e)
    none = np.zeros_like(start)
    held = np.ones((len(start), 1))
    held[[r for r, row in enumerate(life.gathered.rows) if row.place in (*HOSTED, "host", "count")]] = 0.0

    def rates(y: Array, dy: Array) -> None:
        body(y, p, life.table, none, dy, work, ALL)
        dy *= held

    taken = shares(losses(start, p, life, none, work) * held, BACK_MIN / DAY_MIN)
    y = start.copy()
    for _ in range(round(rules.figure("run_back") * DAY_MIN / BACK_MIN)):
        y = step(y, taken, (rates, rates, rates))
        y[0] = 1.0
    return y


def workspace(life: Life) -> Rows:
    """Room for views and modifiers."""
    t = life.table
    return SimpleNamespace(sums=np.zeros((t.views, life.draws)), mod=np.zeros((len(t.over), life.draws)))


def run(course: Course) -> Passed:
    """From beginning to end."""
    forward = Forward(course)
    edges = forward.walk.edges()
    happening = by_minute(course.around.happening, course.begin, course.end)
    kept: list[tuple[int, Array]] = []
    for minute, until in zip(edges, [*edges[1:], None], strict=True):
        kept.append((minute, forward.y))
        for what in happening.get(minute, ()):
            forward.y = happens(
                forward.y, what, course.life, course.reach, forward.walk.warmth(minute, after=False)
            )
        if minute in happening:
            kept.append((minute, forward.y))
        if until is not None:
            forward.advance(minute, until)
    return Passed(minutes=tuple(m for m, _ in kept), rows=np.array([r for _, r in kept]))


class Forward:
    """The rows while a run goes on."""

    def __init__(self, course: Course) -> None:
        self.life, self.walk = course.life, Walk(course)
        self.work, self.y = workspace(course.life), course.start.copy()
        self.taken: Shares | None = None
        self.of: tuple[Rows, Array, float] | None = None  # compared by identity: kept, they stay themselves
        self.steps = 0

    def advance(self, minute: int, until: int) -> None:
        """One step, in minutes from the start of the record."""
        walk, middle, h = self.walk, (minute + until) / 2, (until - minute) / DAY_MIN
        paces = (walk.pace(minute, after=True), walk.pace(middle, after=True), walk.pace(until, after=False))
        kills = (walk.kill(minute, after=True), walk.kill(middle, after=True), walk.kill(until, after=False))
        taken = self._shares(paces[1], kills, h)
        if rows := forms.compiled_rows():
            self.y = rows.forward(self.y, taken, paces, kills, self.life.table, self.work)
        else:
            at = [_rates(self.life, p, k, self.work) for p, k in zip(paces, kills, strict=True)]
            self.y = step(self.y, taken, (at[0], at[1], at[2]))
        self.y[0] = 1.0

    def _shares(self, pace: Rows, kills: tuple[Array, Array, Array], h: float) -> Shares:
        """Kept for as long as pace, substances and step stay the same, and a while."""
        self.steps += 1
        stays = self.of is not None and self.of[0] is pace and self.of[1] is kills[1] and self.of[2] == h
        if self.taken is None or not stays or self.steps % FRESH == 0:
            self.of = (pace, kills[1], h)
            self.taken = forms.shares(losses(self.y, pace, self.life, mean_of(kills), self.work), h)
        return self.taken


def mean_of(kills: tuple[Array, Array, Array]) -> Array:
    """Over a step, by its beginning, middle and end."""
    if kills[0] is kills[1]:
        return kills[1]
    return np.asarray((kills[0] + 4.0 * kills[1] + kills[2]) / 6.0)


def _rates(life: Life, p: Rows, kill: Array, work: Rows) -> Rates:
    def rates(y: Array, dy: Array) -> None:
        body(y, p, life.table, kill, dy, work, ALL)

    return rates


def losses(y: Array, p: Rows, life: Life, kill: Array, work: Rows) -> Array:
    """At what rate each row is left, as it stands. [1/d]"""
    t = life.table
    see(y, p, t, work, ALL)
    out = p.die + kill
    for f in range(len(t.source)):
        if t.lose[f]:
            out[t.source[f]] += p.rate[f] * work.mod[t.taken[f]]
    out[0] = 0.0
    return np.asarray(out)
