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

from collections.abc import Hashable, Sequence
from functools import partial
from types import SimpleNamespace
from typing import Any, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.room.acts import Bath

from . import run
from .happening import Part, spared
from .integrate_rows import Rates, Shares, exactly, shares, step
from .maths import expm1, maximum
from .memo import once
from .organisms import Life
from .processes.organism import see
from .rows import ALL, Array, At, Rows
from .timeline import Course, Steps, Timeline, mixed, paced, timeline

BACK_MIN = (90, 60)  # steps back: divisors of a day that hold the chance to 1e-6 in every organism
KEPT, LARGE = 4096, 12  # settings × draws up to which what is made of them is kept, and for how many
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


def healthy(life: Life, share: Array | float = 1.0) -> Array:
    """The rows of a tank without the germ, with this share of its fish in it; many shares in a column."""
    fish = life.herd.fish * share
    y = np.zeros((life.table.rows, *fish.shape))
    y[0] = 1.0
    y[life.table.fish] = fish
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
        # A stage of a step may look a little below nothing; a clutch of hundreds makes that endless.
        arrives = -expm1(-maximum(p.turn_give[k, i] * r[n.turn_to[k], i], 0.0))
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


def linear(life: Life, n: Lines, p: Rows, share: Array) -> Rows:
    """Rates of settings with the modifiers of the healthy tank: blocks of lines × settings × draws.

    Parameters
    ----------
    p : Rows
        Paces of the settings (`timeline.paced`).
    share : array
        Of the fish in the tank, for each setting.
    """
    t, y = life.table, healthy(life, share[:, None])
    work = SimpleNamespace(sums=np.zeros((t.views, *y.shape[1:])), mod=np.zeros((len(t.over), *y.shape[1:])))
    see(y, p, t, work, ALL)
    rate = p.rate * work.mod[t.taken]
    bear = rate[n.bear_flow]
    for k, entry in enumerate(n.bear_entry):
        if entry >= 0:
            f = n.bear_flow[k]
            m = t.taken[f]
            each = p.slope[m] * p.weight[entry] / np.maximum(work.sums[t.under[m]], 1e-12)
            bear[k] = p.rate[f] * y[t.source[f]] * each
    come = p.rate[n.come_flow] * p.low[t.taken[n.come_flow]] * y[t.source[n.come_flow]]
    return SimpleNamespace(
        die=p.die,
        turn=rate[n.turn_flow],
        turn_give=np.where(n.turn_sure[:, None, None], 1.0, p.give[n.turn_flow]),
        bear=bear,
        bear_give=p.give[n.bear_flow],
        come=come,
        come_give=p.give[n.come_flow],
        reach=p.reach,
    )


LINEAR = ("die", "turn", "turn_give", "bear", "bear_give", "come", "come_give", "reach")


class Pass(msgspec.Struct, frozen=True, kw_only=True):
    """What a pass back reads, in either form."""

    course: Course  # ends at the last of the days
    line: Timeline
    lines: Lines
    linear: Rows
    stiff: NDArray[np.int64]  # rows whose bearing is taken exactly too, as it stands at each step
    known: Hashable = None  # by what lines and rates are known again

    def first(self, minute: int) -> int:
        """The first step of a pass from this minute back."""
        return int(np.flatnonzero(self.line.edges == minute)[0])


def pass_back(course: Course, days: Sequence[int], every: int | None = None) -> Pass:
    """Prepare a pass for chances by these minutes."""
    cut = msgspec.structs.replace(course, end=max(days), every=every or back_min(course))
    line = timeline(cut, ends=days, back=True)
    lines = once(course.kept, "lines", None, lambda: lines_of(course.life))
    e, share = line.settings
    few = len(share) * course.life.draws <= KEPT
    key = None if course.met is None or not few else (course.met, *(np.asarray(v).tobytes() for v in (
        e.temp_c, e.stress, e.dark, share
    )))  # fmt: skip

    def made() -> tuple[Rows, Array]:
        found = linear(course.life, lines, paced(cut, e), share)
        return found, _bearing(found.bear * found.bear_give, lines, len(lines.germ)).max(axis=(1, 2))

    rates, most = once(course.kept if key else None, "linear", key, made, LARGE)
    stiff = np.flatnonzero(most * line.days.max() > STIFF)
    known = key and (key, stiff.tobytes())
    return Pass(course=cut, line=line, lines=lines, linear=rates, stiff=stiff, known=known or None)


def back_min(course: Course) -> int:
    """Longest step back: the longest of its kind that is no longer than the step on. [min]"""
    if course.coarse:
        return course.every
    return next((m for m in BACK_MIN if m <= course.every), course.every)


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
    told = pass_back(course, days, every)
    compiled = run.compiled_back()
    r = (
        compiled.back(told, days)
        if compiled
        else np.array([Backward(told).to_the_beginning(day) for day in days])
    )
    weight = np.where(told.lines.germ[:, None], np.maximum(course.start, 0.0), 0.0)
    log = -(weight * r).sum(axis=1) - r[:, 0]
    return Gone(
        minutes=tuple(days),
        chance=np.exp(np.minimum(log, 0.0)),
        holds=holds_of(course.life.organism.structure),
    )


class Backward:
    """The oracle: r of every row, one step after another."""

    def __init__(self, told: Pass) -> None:
        self.told, self.life, self.steps = told, told.course.life, Steps(told.course, told.line)
        self.acts: dict[int, list[Array]] = {}
        for edge, left in removals(told):
            self.acts.setdefault(edge, []).append(left)

    def to_the_beginning(self, minute: int) -> Array:
        """r at the beginning of those that would live on at this minute."""
        line, first = self.told.line, self.told.first(minute)
        r = np.zeros((self.life.table.rows, self.life.draws))
        r[self.told.lines.germ] = 1.0
        self.taken: Shares | None = None
        for n in range(first, line.steps):
            if n > first:
                r = self._removed(r, n)
            r = self._step(r, n)
        return self._removed(r, line.steps) if line.steps > first else r

    def _removed(self, r: Array, edge: int) -> Array:
        for left in self.acts.get(edge, ()):
            r = r * left
        return r

    def _step(self, r: Array, n: int) -> Array:
        told, stiff, h = self.told, self.told.stiff, float(self.told.line.days[n])
        ends = [self._at(n, node) for node in range(3)]
        if self.taken is None or told.line.fresh[n]:
            mean = (ends[0].kill + 4.0 * ends[1].kill + ends[2].kill) / 6.0
            usual = _loss(ends[1], told.lines) - ends[1].kill
            self.whole, self.exact = usual + mean, exactly(usual, mean, h)
            self.taken = shares(self.exact, h)
        if stiff.size:
            loss = self.exact.copy()
            born = _bearing(ends[1].bear * ends[1].bear_give * r[told.lines.bear_to], told.lines, len(r))
            loss[stiff] = self.whole[stiff] + born[stiff]
            self.taken = shares(loss, h)
        rates = [_backward(p, told.lines) for p in ends]
        return step(r, self.taken, (rates[0], rates[1], rates[2]))

    def _at(self, n: int, node: int) -> Rows:
        line, life, lines = self.told.line, self.life, self.told.lines
        between = float(line.nodes.between[n, node])
        p = mixed(self.told.linear, int(line.before[n, node]), int(line.after[n, node]), between, LINEAR)
        share = life.resistant(float(line.infected_d[n, node]))
        p.kill = self.steps.kill(n, node)
        p.die = p.die + p.kill
        p.die[life.table.hosted] += share * life.resist_kill
        for give, flow in (
            ("turn_give", np.where(lines.turn_sure, -1, lines.turn_flow)),
            ("bear_give", lines.bear_flow),
            ("come_give", lines.come_flow),
        ):
            less = np.where(
                ((flow >= 0) & life.blocked[flow])[:, None], 1.0 - share * (1.0 - life.resist_block), 1.0
            )
            setattr(p, give, getattr(p, give) * less)
        return p


def removals(told: Pass) -> list[tuple[int, Array]]:
    """What each act leaves of each row, with the edge at which it does."""
    return [(edge, _removed(told, edge, what)) for edge, what in told.line.acts]


def removed(told: Pass) -> tuple[list[int], list[Array]]:
    """The same, each act that is alike once: which of them each is, and what it leaves."""
    seen: dict[Hashable, int] = {}
    which, found = list[int](), list[Array]()
    for n, (edge, what) in enumerate(told.line.acts):
        bath = isinstance(what, Bath | Part)
        key = n if bath else what
        if key not in seen:
            seen[key] = len(found)
            kept = None if bath else told.course.kept
            found.append(once(kept, "removed", key, partial(_removed, told, edge, what)))
        which.append(seen[key])
    return which, found


def _removed(told: Pass, edge: int, what: object) -> Array:
    """What an act leaves of each row."""
    warmth = told.course.around.around(int(told.line.edges[edge]), after=False).temp_c
    left = np.minimum(spared(what, told.course.life, told.course.reach, warmth), 1.0)
    left[0] = 1.0
    return left


def _backward(p: Rows, lines: Lines) -> Rates:
    def rates(r: Array, dr: Array) -> None:
        backward(r, p, lines, dr, ALL)

    return rates


def _bearing(born: Array, lines: Lines, rows: int) -> Array:
    """At what rate 1 − r of each row fades by its young, if each is as `born` says. [1/d]"""
    out = np.zeros((rows, *born.shape[1:]))
    for k in np.flatnonzero(lines.bear_by == lines.bear_from):
        out[lines.bear_from[k]] += born[k]
    return out


def _loss(p: Rows, lines: Lines) -> Array:
    """At what rate r of each row fades. [1/d]"""
    out: Array = p.die.copy()
    for k, row in enumerate(lines.turn_from):
        out[row] += p.turn[k]
    out[lines.hosts] = 0.0
    out[0] = 0.0
    return out
