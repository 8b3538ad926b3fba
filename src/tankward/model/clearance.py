"""The chance that a germ is gone: the multi-type branching process, one pass backward for r = 1 − q.

An individual of each row leaves a line of young. q is the chance that the line has ended by a given day, r
the chance that it has not; r, not q, is followed, as near 1 it is r that has the digits. At the day itself
every living one has r = 1. Going back in time

    dr/ds = −death r − Σ loses (r − arrives) + Σ bears (1 − r) arrives,
    arrives = 1 − exp(−give r) for a clutch (a Poisson number), give r where one comes or none
    (of a mother that goes on in another row: she turns into that row, and its r stands in 1 − r),

and an act that removes a share f multiplies r by 1 − f. So one pass ends at one day; several days run side by
side as further draws, each joining at its own.

A branching process has no ceiling and no fish that resist by having met it: modifiers stand as in the healthy
tank. Both only slow a germ, so the true chance that it is gone is higher: a cautious bound. What comes in
from outside the lines (a germ that lives in the tank anyway) is counted with its own lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from . import run
from .happening import by_minute, spared
from .integrate_rows import Rates, Shares, step
from .maths import expm1
from .organisms import Life
from .outbreak import DAY_MIN, Course, Walk, workspace
from .processes.organism import see
from .rows import ALL, Array, At, Rows

MOST_MIN = 60
STIFF = 0.3  # step × rate of bearing from which that is taken exactly too
Holds = Literal["cautious-bound", "while-few", "never-gone"]


class Lines(msgspec.Struct, frozen=True, kw_only=True):
    """How individuals leave young: turns (the source is used up), births, arrivals from outside."""

    turn_from: NDArray[np.int64]
    turn_to: NDArray[np.int64]
    turn_flow: NDArray[np.int64]
    turn_sure: NDArray[np.bool_]  # a mother goes on, whatever becomes of her young
    litters: int  # the first of the turns bring a Poisson number of young, the others one or none
    bear_from: NDArray[np.int64]
    bear_to: NDArray[np.int64]
    bear_flow: NDArray[np.int64]
    bear_by: NDArray[np.int64]  # row of the one that bears, once it has borne
    bear_entry: NDArray[np.int64]  # entry of a view by which it bears, −1: the flow's own source
    come_to: NDArray[np.int64]
    come_flow: NDArray[np.int64]
    germ: NDArray[np.bool_]  # rows
    hosts: NDArray[np.int64]  # rows of no germ, but for what lies outside


class Gone(msgspec.Struct, frozen=True, kw_only=True):
    """Chance that every line has ended by each day, for each draw."""

    minutes: tuple[int, ...]
    chance: Array  # days × draws
    holds: Holds


def holds_of(structure: str) -> Holds:
    """What the linear form is worth for a kind of life, as data for whoever shows the chance."""
    if structure == "reservoir":
        return "never-gone"
    return "while-few" if structure in ("logistic", "slow_seid") else "cautious-bound"


def lines_of(life: Life) -> Lines:
    """Flows and views of an organism as turns, births and arrivals."""
    t, flows = life.table, life.gathered.flows
    germ = np.array([row.germ and row.place not in ("host", "count", "none") for row in life.gathered.rows])
    turns: list[tuple[int, int, int, int, int]] = []
    bears: list[tuple[int, int, int, int, int]] = []
    comes: list[tuple[int, int]] = []
    for f, flow in enumerate(flows):
        if not germ[flow.gain] and not (germ[flow.source] and flow.lose):
            continue
        if germ[flow.source]:
            if flow.stays:
                turns.append((flow.source, flow.stays, f, 0, 1))
                bears.append((flow.source, flow.gain, f, -1, flow.stays))
            elif flow.lose:
                turns.append((flow.source, flow.gain, f, int(flow.litter), 0))
            else:
                bears.append((flow.source, flow.gain, f, -1, flow.source))
            continue
        comes.append((flow.gain, f))
        seen = [n for n, v in enumerate(t.seen_view) if v == t.over[flow.taken] and germ[t.seen_row[n]]]
        bears += [(int(t.seen_row[n]), flow.gain, f, n, int(t.seen_row[n])) for n in seen]

    turns.sort(key=lambda turn: -turn[3])

    def column(rows: Sequence[tuple[int, ...]], at: int) -> NDArray[np.int64]:
        return np.array([row[at] for row in rows], dtype=np.int64)

    return Lines(
        turn_from=column(turns, 0), turn_to=column(turns, 1), turn_flow=column(turns, 2),
        turn_sure=column(turns, 4) > 0, litters=sum(turn[3] for turn in turns), bear_from=column(bears, 0),
        bear_to=column(bears, 1), bear_flow=column(bears, 2), bear_entry=column(bears, 3),
        bear_by=column(bears, 4), come_to=column(comes, 0), come_flow=column(comes, 1), germ=germ,
        hosts=np.flatnonzero(~germ)[1:],
    )  # fmt: skip


def healthy(life: Life, share: float = 1.0) -> Array:
    """The rows of a tank without the germ, with this share of its fish in it."""
    y = np.zeros((life.table.rows, life.draws))
    y[0] = 1.0
    y[life.table.fish] = life.herd.fish * share
    return y


def backward(r: Any, p: Rows, n: Any, dr: Any, i: At) -> None:
    """Rates of r against time, into `dr`; its row 0 gathers what came from outside.

    `p` holds rates as the healthy tank makes them: `turn`, `bear`, `come` [1/d], `turn_give`, `bear_give`,
    `come_give`, `die`.
    """
    dr[0, i] = 0.0
    for k in range(1, len(dr)):
        dr[k, i] = -p.die[k, i] * r[k, i]
    for k in range(n.litters):
        arrives = -expm1(-p.turn_give[k, i] * r[n.turn_to[k], i])
        dr[n.turn_from[k], i] += p.turn[k, i] * (arrives - r[n.turn_from[k], i])
    for k in range(n.litters, len(n.turn_from)):
        arrives = p.turn_give[k, i] * r[n.turn_to[k], i]
        dr[n.turn_from[k], i] += p.turn[k, i] * (arrives - r[n.turn_from[k], i])
    for k in range(len(n.bear_from)):
        arrives = p.bear_give[k, i] * r[n.bear_to[k], i]
        dr[n.bear_from[k], i] += p.bear[k, i] * (1.0 - r[n.bear_by[k], i]) * arrives
    for k in range(len(n.come_to)):
        dr[0, i] += p.come[k, i] * p.come_give[k, i] * r[n.come_to[k], i]
    for k in range(len(n.hosts)):
        dr[n.hosts[k], i] = 0.0


def linear(life: Life, n: Lines, p: Rows, kill: Array, work: Rows, y: Array) -> Rows:
    """Rates of a pace with the modifiers of the healthy tank."""
    t = life.table
    see(y, p, t, work, ALL)
    rate = p.rate * work.mod[t.taken]
    bear = rate[n.bear_flow]
    for k, entry in enumerate(n.bear_entry):
        if entry >= 0:
            f = n.bear_flow[k]
            m = t.taken[f]
            each = p.slope[m] * p.weight[entry] / np.maximum(work.sums[t.under[m]], 1e-12)
            bear[k] = p.rate[f] * y[t.source[f]] * each
    return SimpleNamespace(
        die=p.die + kill,
        turn=rate[n.turn_flow],
        turn_give=np.where(n.turn_sure[:, None], 1.0, p.give[n.turn_flow]),
        bear=bear,
        bear_give=p.give[n.bear_flow],
        come=p.rate[n.come_flow] * p.low[t.taken[n.come_flow]] * y[t.source[n.come_flow]],
        come_give=p.give[n.come_flow],
    )


def gone_by(course: Course, days: Sequence[int], *, every: int | None = None) -> Gone:
    """Chance that nothing of it is left, by each of these minutes.

    Parameters
    ----------
    course : Course
        From `begin`, where the burden is a Poisson number about its rows.
    days : sequence of int
        Minutes, each after `begin`, at most the end of what is known of the tank.
    every : int, optional
        Longest step in minutes.

    Returns
    -------
    Gone
        The chance for each draw, and for what it holds.
    """
    life, last = course.life, max(days)
    cut = msgspec.structs.replace(course, end=last, every=every or min(course.every, MOST_MIN))
    back = Backward(cut, tuple(days))
    edges = sorted({*back.walk.edges(), *days})
    acts = by_minute(course.around.happening, course.begin, last)
    for before, minute in zip([None, *edges[:-1]][::-1], edges[::-1], strict=True):
        for what in reversed(acts.get(minute, [])):
            back.removed(what)
        back.begins(minute)
        if before is not None:
            back.advance(before, minute)
    weight = np.where(back.lines.germ[:, None], np.maximum(course.start, 0.0), 0.0)
    log = -(_wide(weight, len(days)) * back.r).sum(axis=0) - back.r[0]
    return Gone(
        minutes=tuple(days),
        chance=np.exp(log).reshape(len(days), life.draws),
        holds=holds_of(life.organism.structure),
    )


class Backward:
    """r of every row while the pass goes back, the days side by side."""

    def __init__(self, course: Course, days: tuple[int, ...]) -> None:
        self.course, self.days, self.life = course, days, course.life
        self.walk, self.lines = Walk(course), lines_of(course.life)
        self.work = workspace(course.life)
        self.r = np.zeros((course.life.table.rows, len(days) * course.life.draws))
        self.taken: Shares | None = None
        self.of: tuple[Rows, float] | None = None  # compared by identity: kept, they stay themselves
        self.kept: list[tuple[Rows, Array, float, Rows]] = []

    def removed(self, what: object) -> None:
        """An act took some."""
        left = np.minimum(spared(what, self.life, self.course.reach), 1.0)
        left[0] = 1.0
        self.r *= _wide(left, len(self.days))

    def begins(self, minute: int) -> None:
        """At its day every living one is there."""
        draws = self.life.draws
        for place, day in enumerate(self.days):
            if day == minute:
                self.r[:, place * draws : (place + 1) * draws] = self.lines.germ[:, None]

    def advance(self, before: int, minute: int) -> None:
        """One step back, in minutes from the start of the record."""
        h = (minute - before) / DAY_MIN
        ends = (self._at(minute, False), self._at((before + minute) / 2, True), self._at(before, True))
        born = _bearing(ends[1], self.lines, self.r)
        stiff = bool(born.max() * h > STIFF)
        if self.taken is None or stiff or self.of is None or self.of[0] is not ends[1] or self.of[1] != h:
            self.taken = run.shares(_loss(ends[1], self.lines) + (born if stiff else 0.0), h)
            self.of = None if stiff else (ends[1], h)
        if rows := run.compiled_rows():
            self.r = rows.back(self.r, self.taken, ends, self.lines)
        else:
            rates = [_backward(p, self.lines) for p in ends]
            self.r = step(self.r, self.taken, (rates[0], rates[1], rates[2]))
        draws = self.life.draws
        for place, day in enumerate(self.days):
            if day < minute:
                self.r[:, place * draws : (place + 1) * draws] = 0.0

    def _at(self, minute: float, after: bool) -> Rows:
        pace, kill = self.walk.pace(minute, after=after), self.walk.kill(minute, after=after)
        there = self.course.around.stands(minute, after).stock
        for one in self.kept:
            if one[0] is pace and one[1] is kill and one[2] == there:
                return one[3]
        made = linear(self.life, self.lines, pace, kill, self.work, healthy(self.life, there))
        wide = SimpleNamespace(**{n: _wide(v, len(self.days)) for n, v in made.__dict__.items()})
        self.kept = [*self.kept[-1:], (pace, kill, there, wide)]
        return wide


def _backward(p: Rows, lines: Lines) -> Rates:
    def rates(r: Array, dr: Array) -> None:
        backward(r, p, lines, dr, ALL)

    return rates


def _wide(values: Array, many: int) -> Array:
    return np.tile(values, (1, many))


def _bearing(p: Rows, lines: Lines, r: Array) -> Array:
    """At what rate 1 − r of each row fades by its young. [1/d]"""
    out = np.zeros_like(r)
    own = lines.bear_by == lines.bear_from
    np.add.at(out, lines.bear_from[own], (p.bear * p.bear_give * r[lines.bear_to])[own])
    return out


def _loss(p: Rows, lines: Lines) -> Array:
    """At what rate r of each row fades. [1/d]"""
    out: Array = p.die.copy()
    np.add.at(out, lines.turn_from, p.turn)
    out[0] = 0.0
    return out
