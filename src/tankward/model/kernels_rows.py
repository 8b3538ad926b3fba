"""Organisms, compiled: a whole outbreak, one call for each block of draws (back: `kernels_back.py`).

Any organism is tables, so one compile serves them all. The oracle (`outbreak.py`, `clearance.py`) takes the
same steps by bodies of its own; both agree to the last digits (tests/model/test_kernels_rows.py). Rows lie
one after another, each as long as a block has lanes, and every loop runs over lanes. Nothing is reduced over
draws, so the numbers of a draw do not depend on who runs beside it, nor on the threads.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from tankward.knowledge.loader import load

from . import packed
from .compile import PLAIN, cached_in
from .integrate_rows import SERIES_BELOW
from .lives.tables import Around, Herd
from .organisms import Life, life_of, start_of
from .packed import Grid, blocked
from .processes.organism import LEAST
from .rows import Array, Rows
from .standing import Standing
from .surroundings import Surroundings
from .timeline import Course, Timeline, paced, timeline
from .vector import exponential, logarithm

FAINT = 1e-300  # a burden below it is none; its logarithm is finite


class Flat(NamedTuple):
    """Work space of one block as single rows: all lanes of all rows, for loops that go over all of them."""

    n: Any  # stages × all rows: rates
    a: Any
    b: Any
    loss: Any
    half: Any
    whole: Any
    ahead: Any
    first: Any
    middle: Any
    last: Any
    mixed: Any  # nodes × all lanes of a setting


class Room(NamedTuple):
    """Work space of one block as rows × lanes. An index that is a sum could be below nought for all that the
    compiler knows, and would turn a loop over lanes into single numbers: so [row, lane], not [row + lane].
    """

    n: Any  # stages × rows × lanes
    a: Any
    b: Any
    loss: Any
    kill: Any  # nodes × rows × lanes
    less: Any  # nodes × lanes: share of what is blocked that fish let through
    faster: Any  # nodes × lanes: death rate more of what sits on fish
    sums: Any
    mod: Any
    load: Any
    deaths: Any
    lost: Any
    mixed: Any  # nodes × columns × lanes


@njit(**PLAIN)
def room(rows: Any, lanes: Any, views: Any, modifiers: Any, wide: Any) -> Any:
    """Work space, both ways over the same memory; made once for a block."""
    n, two = rows * lanes, (rows, lanes)
    rates, a, b, loss = np.empty((4, n)), np.empty(n), np.empty(n), np.zeros(n)
    mixed = np.empty((3, wide * lanes))
    flat = Flat(
        rates, a, b, loss, np.ones(n), np.ones(n), np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(n),
        mixed,
    )  # fmt: skip
    w = Room(
        rates.reshape((4, rows, lanes)), a.reshape(two), b.reshape(two), loss.reshape(two),
        np.zeros((3, rows, lanes)), np.ones((3, lanes)), np.zeros((3, lanes)), np.zeros((views, lanes)),
        np.ones((modifiers, lanes)), np.empty(lanes), np.empty(lanes), np.empty(lanes),
        mixed.reshape((3, wide, lanes)),
    )  # fmt: skip
    return flat, w


@njit(**PLAIN)
def part(loss: Any, h: Any) -> Any:
    """integrate_rows.shares of one loss: half, whole, ahead, first, middle, last."""
    z = loss * h
    x = z * 0.5
    gone = exponential(-x)
    s = min(z, SERIES_BELOW)
    s3 = 1 / 6 - s * (1 / 24 - s * (1 / 120 - s * (1 / 720 - s * (1 / 5040 - s * (1 / 40320 - s * (
        1 / 362880 - s * (1 / 3628800 - s * (1 / 39916800 - s * (1 / 479001600 - s * (
            1 / 6227020800 - s * (1 / 87178291200 - s * (1 / 1307674368000 - s / 20922789888000)
        )))))))))))  # fmt: skip
    s2 = 0.5 - s * s3
    s1 = 1.0 - s * s2
    u = min(x, 0.5)
    u1 = 1.0 - u * (1 / 2 - u * (1 / 6 - u * (1 / 24 - u * (1 / 120 - u * (1 / 720 - u * (1 / 5040 - u * (
        1 / 40320 - u * (1 / 362880 - u * (1 / 3628800 - u * (1 / 39916800 - u * (
            1 / 479001600 - u * (1 / 6227020800 - u / 87178291200))))))))))))  # fmt: skip
    inverse = 1.0 / max(z, SERIES_BELOW)
    left = gone * gone
    c1 = (1.0 - left) * inverse
    c2 = (1.0 - c1) * inverse
    c3 = (0.5 - c2) * inverse
    near = z <= SERIES_BELOW
    p1 = s1 if near else c1
    p2 = s2 if near else c2
    p3 = s3 if near else c3
    ahead = 0.5 * h * (u1 if near else (1.0 - gone) * 2.0 * inverse)
    return gone, left, ahead, h * (p1 - 3.0 * p2 + 4.0 * p3), h * (2.0 * p2 - 4.0 * p3), h * (4.0 * p3 - p2)


@njit(**PLAIN)
def exact(v: Any, h: Any) -> None:
    """integrate_rows.shares of all of `v.loss`."""
    for k in range(v.loss.size):
        v.half[k], v.whole[k], v.ahead[k], v.first[k], v.middle[k], v.last[k] = part(v.loss[k], h)


@njit(**PLAIN)
def onward(v: Any, y: Any, stage: Any) -> None:
    """From the rates of a stage to where the next one looks, or to the rows after the step."""
    n0, na, nb, nc = v.n[0], v.n[1], v.n[2], v.n[3]
    if stage == 0:
        for k in range(y.size):
            v.a[k] = v.half[k] * y[k] + v.ahead[k] * n0[k]
    elif stage == 1:
        for k in range(y.size):
            v.b[k] = v.half[k] * y[k] + v.ahead[k] * na[k]
    elif stage == 2:
        for k in range(y.size):
            v.b[k] = v.half[k] * v.a[k] + v.ahead[k] * (2.0 * nb[k] - n0[k])
    else:
        for k in range(y.size):
            gain = v.first[k] * n0[k] + v.middle[k] * (na[k] + nb[k])
            y[k] = v.whole[k] * y[k] + gain + v.last[k] * nc[k]


@njit(**PLAIN)
def mix(settings: Any, g: Any, step: Any, node: Any, v: Any) -> None:
    """Where a node lies between two settings, its paces straight between them into `v.mixed[node]`."""
    before, after = g.before[step, node], g.after[step, node]
    if before != after:
        share = g.between[step, node]
        for k in range(settings.shape[1]):
            v.mixed[node, k] = settings[before, k] + share * (settings[after, k] - settings[before, k])


@njit(**PLAIN)
def resist(x: Any, b: Any, days: Any, less: Any, faster: Any, node: Any) -> None:
    """Life.resistant, and what it does."""
    for i in range(less.shape[1]):
        begins, full, ends = x.begins[b, i], x.full[b, i], x.ends[b, i]
        risen = min(max((days - begins) / (full - begins), 0.0), 1.0)
        faded = min(max((ends + full - begins - days) / (ends - begins), 0.0), 1.0)
        share = x.share[b, i] * min(risen, faded)
        less[node, i] = 1.0 - share * (1.0 - x.block[b, i])
        faster[node, i] = share * x.kill[b, i]


@njit(**PLAIN)
def killed(s: Any, b: Any, g: Any, step: Any, node: Any, p: Any, at: Any, w: Any) -> None:
    """Death rate of rows by substances, into `w.kill[node]`."""
    waters, lanes = s.substance.size, w.load.size
    for row in s.all:
        for i in range(lanes):
            w.kill[node, row, i] = 0.0
    here, there, share = g.here[step, node], g.there[step, node], g.share[step, node]
    for q in range(s.first.size):
        top = at + q
        if q < waters:
            one = s.substance[q]
            for i in range(lanes):
                low = s.logs[b, one, here, i]
                log = low + share * (s.logs[b, one, there, i] - low)
                ratio = exponential(s.hill[b, q, i] * (log + s.offset[b, q, i]))
                w.load[i] = p[top, i] * (ratio / (1.0 + ratio) if log > s.nothing else 0.0)
        else:
            food = g.food[step, node]
            for i in range(lanes):
                w.load[i] = p[top, i] * s.food[b, food, q - waters, i]
        for n in range(s.first[q], s.last[q]):
            row = s.rows[n]
            for i in range(lanes):
                w.kill[node, row, i] += w.load[i]


@njit(**PLAIN)
def see(y: Any, p: Any, o: Any, t: Any, w: Any) -> None:
    """Views and modifiers; view 0 and modifier 0 are 1 and stay so."""
    lanes = w.load.size
    for view in range(1, w.sums.shape[0]):
        for i in range(lanes):
            w.sums[view, i] = 0.0
    for n in range(1, t.seen_row.size):
        view, row, weight = t.seen_view[n], t.seen_row[n], o.weight + n
        for i in range(lanes):
            w.sums[view, i] += p[weight, i] * y[row, i]
    for m in range(1, t.over.size):
        over, under, low, slope = t.over[m], t.under[m], o.low + m, o.slope + m
        for i in range(lanes):
            share = w.sums[over, i] / max(w.sums[under, i], LEAST)
            w.mod[m, i] = max(p[low, i] + p[slope, i] * share, 0.0)


@njit(**PLAIN)
def harm(y: Any, p: Any, o: Any, t: Any, x: Any, b: Any, w: Any, out: Any) -> None:
    """Fish die of what they carry."""
    lanes, burden, grams, most = w.load.size, t.burden, t.grams, o.most
    for i in range(lanes):
        each = max(w.sums[burden, i], 0.0) / max(w.sums[grams, i], LEAST)
        w.load[i] = exponential(x.hill[b, i] * logarithm(max(each / x.half[b, i], FAINT)))
        w.deaths[i] = 0.0
        w.lost[i] = 0.0
    for q in range(x.node.shape[1]):
        for i in range(lanes):
            ill = x.node[b, q, i] * w.load[i]
            ill = ill / (1.0 + ill)
            w.deaths[i] += ill
            w.lost[i] += x.share[b, q, i] * ill
    fish, lost, corpse = t.fish, t.lost, t.corpse
    for i in range(lanes):
        died = p[most, i] * w.deaths[i] * y[fish, i]
        w.lost[i] *= p[most, i]
        w.deaths[i] = died
        w.load[i] = x.shed[b, i] * w.lost[i] * w.sums[burden, i]
    for i in range(lanes):
        out[fish, i] -= w.deaths[i]
    for i in range(lanes):
        out[lost, i] += w.deaths[i]
    for i in range(lanes):
        out[corpse, i] += w.load[i]
    for row in t.hosted:
        for i in range(lanes):
            out[row, i] -= w.lost[i] * y[row, i]


@njit(**PLAIN)
def held_back(
    y: Any, p: Any, s: Any, t: Any, dosed: Any, ever: Any, node: Any, v: Any, w: Any, stage: Any
) -> None:
    """Into the rates of a stage what the exact part of the losses has too much or too little."""
    lanes = w.load.size
    if dosed:
        for row in s.all:
            for i in range(lanes):
                w.n[stage, row, i] -= w.kill[node, row, i] * y[row, i]
    if ever:
        for row in t.hosted:
            for i in range(lanes):
                w.n[stage, row, i] -= w.faster[node, i] * y[row, i]


@njit(**PLAIN)
def along(runs: Any, y: Any, p: Any, column: Any, out: Any, lanes: Any) -> None:
    """Plain flows, a stretch at a time; all flat."""
    for n in range(runs.shape[0]):
        many = runs[n, 3] * lanes
        source, gain, first = runs[n, 0] * lanes, runs[n, 1] * lanes, (column + runs[n, 2]) * lanes
        give, have, get = p[first : first + many], y[source : source + many], out[gain : gain + many]
        for k in range(many):
            get[k] += give[k] * have[k]


@njit(**PLAIN)
def gained(
    y1: Any, y: Any, p1: Any, p: Any, o: Any, t: Any, s: Any, dosed: Any, x: Any, ever: Any, b: Any, v: Any,
    w: Any, stage: Any,
) -> None:  # fmt: skip
    """Rates of all rows without the part of the loss that is taken exactly, of one stage of a step."""
    lanes, node, out = w.load.size, (stage + 1) // 2, w.n[stage]
    for k in range(v.loss.size):
        v.n[stage, k] = (v.loss[k] - p1[k]) * y1[k]
    held_back(y, p, s, t, dosed, ever, node, v, w, stage)
    if dosed:
        for row in s.all:
            into = t.heals[row]
            if into > 0:
                for i in range(lanes):
                    out[into, i] += w.kill[node, row, i] * y[row, i]
    along(t.runs, y1, p1, o.come, v.n[stage], lanes)
    see(y, p, o, t, w)
    for f in range(t.source.size):
        source, gain, rate, give = t.source[f], t.gain[f], o.rate + f, o.give + f
        taken, given = t.taken[f], t.given[f]
        for i in range(lanes):
            w.load[i] = p[rate, i] * y[source, i] * w.mod[taken, i]
        if t.lose[f] > 0:
            stays = t.stays[f]
            for i in range(lanes):
                out[source, i] -= w.load[i]
            for i in range(lanes):
                out[stays, i] += w.load[i]
        if t.blocked[f]:
            for i in range(lanes):
                w.load[i] *= w.less[node, i]
        for i in range(lanes):
            out[gain, i] += p[give, i] * w.load[i] * w.mod[given, i]
    if t.harms:
        harm(y, p, o, t, x, b, w, out)
    if t.holds:
        for r in range(t.held.size):
            for i in range(lanes):
                out[r, i] *= t.held[r]
    for i in range(lanes):
        out[0, i] = 0.0


@njit(**PLAIN)
def losing(y: Any, p1: Any, p: Any, o: Any, t: Any, ever: Any, v: Any, w: Any) -> None:
    """outbreak.losses without those by substances, into the loss."""
    lanes = w.load.size
    plain_loss(p1, t, ever, v, w)
    see(y, p, o, t, w)
    for f in range(t.source.size):
        if t.lose[f] > 0:
            source, rate, taken, held = t.source[f], o.rate + f, t.taken[f], t.held[t.source[f]]
            for i in range(lanes):
                w.loss[source, i] += held * (p[rate, i] * w.mod[taken, i])
    for i in range(lanes):
        w.loss[0, i] = 0.0


@njit(**PLAIN)
def plain_loss(p1: Any, t: Any, ever: Any, v: Any, w: Any) -> None:
    """By the setting, and by resistance in the middle of the step."""
    lanes = w.load.size
    for k in range(v.loss.size):
        v.loss[k] = p1[k]
    if ever:
        for row in t.hosted:
            for i in range(lanes):
                w.loss[row, i] += w.faster[1, i]


@njit(**PLAIN)
def with_killed(loss: Any, s: Any, w: Any) -> None:
    """What substances kill over the step, onto a loss."""
    lanes = w.load.size
    for row in s.all:
        for i in range(lanes):
            loss[row, i] += (w.kill[0, row, i] + 4.0 * w.kill[1, row, i] + w.kill[2, row, i]) / 6.0


@njit(**PLAIN)
def acted(y: Any, left: Any, more: Any, frees: Any, t: Any, w: Any) -> None:
    """happening.happens."""
    lanes, fish = w.load.size, t.fish
    if more > 0.0:
        for i in range(lanes):
            w.load[i] = y[fish, i]
        for row in t.hosts:
            for i in range(lanes):
                w.load[i] += more * y[row, i]
    for r in range(t.heals.size):
        for i in range(lanes):
            w.a[r, i] = y[r, i] * (1.0 - left[r, i])
            y[r, i] *= left[r, i]
    if frees:
        for r in range(t.heals.size):
            into = t.heals[r]
            if into > 0:
                for i in range(lanes):
                    y[into, i] += w.a[r, i]
    if more > 0.0:
        for i in range(lanes):
            y[fish, i] = w.load[i]
    for i in range(lanes):
        y[0, i] = 1.0


@njit(**PLAIN)
def stored(y: Any, out: Any, slot: Any, b: Any) -> None:
    """A copy of the rows."""
    lanes = y.shape[1]
    for r in range(y.shape[0]):
        for i in range(lanes):
            out[slot, r, b * lanes + i] = y[r, i]


def _forward(
    b: Any, y1: Any, y: Any, g: Any, t: Any, o: Any, flats: Any, settings: Any, s: Any, d: Any, x: Any,
    acts: Any,
    out: Any,
) -> None:  # fmt: skip
    """A block of draws from the first edge to the last; `y` is the rows at the beginning, then at the end.
    `y1` is the same memory as one row, as `flats` is that of `settings`.
    """
    lanes = y.shape[1]
    v, w = room(y.shape[0], lanes, t.views, t.over.size, settings.shape[1])
    w.sums[0, :] = 1.0
    for edge in range(g.slots.size):
        if g.slots[edge] >= 0:
            stored(y, out, g.slots[edge], b)
        for n in range(g.acts[edge], g.acts[edge + 1]):
            acted(y, acts.left[b, n], acts.more[n], acts.frees[n], t, w)
        if g.slots[edge] >= 0 and g.acts[edge + 1] > g.acts[edge]:
            stored(y, out, g.slots[edge] + 1, b)
        if edge == g.days.size:
            break
        dosed = g.dosed[edge]
        for node in range(3):
            mix(flats, g, edge, node, v)
            if d.ever:
                resist(d, b, g.infected_d[edge, node], w.less, w.faster, node)
            if dosed:
                before, after = g.before[edge, node], g.after[edge, node]
                p = settings[before] if before == after else w.mixed[node]
                killed(s, b, g, edge, node, p, o.reach, w)
        for stage in range(-1, 4):  # a loop, so that their code is there once; −1: how fast rows are left
            node = 1 if stage < 0 else (stage + 1) // 2
            before, after = g.before[edge, node], g.after[edge, node]
            one = before == after
            p1, p = (flats[before] if one else v.mixed[node]), (settings[before] if one else w.mixed[node])
            if stage < 0:
                if g.fresh[edge]:
                    losing(y, p1, p, o, t, d.ever, v, w)
                    if dosed:
                        with_killed(w.loss, s, w)
                    exact(v, g.days[edge])
                continue
            at1, at = (y1, y) if stage == 0 else (v.a, w.a) if stage == 1 else (v.b, w.b)
            gained(at1, at, p1, p, o, t, s, dosed, x, d.ever, b, v, w, stage)
            onward(v, y1, stage)
        for i in range(lanes):
            y[0, i] = 1.0


with cached_in() as keep:
    forward_kernel = njit(nogil=True, error_model="numpy", cache=keep)(_forward)


@cache
def pool(threads: int) -> ThreadPoolExecutor:
    """Threads, begun once."""
    return ThreadPoolExecutor(threads, thread_name_prefix="rows")


def threads() -> int:
    """How many run at once."""
    return min(os.cpu_count() or 1, 8)


def over(many: int, work: Callable[[int], None]) -> None:
    """Each of so many pieces, side by side where there are threads for it."""
    at_once = min(threads(), many)
    if at_once < 2:
        for n in range(many):
            work(n)
        return
    list(pool(at_once).map(work, range(many)))


def forward(course: Course, line: Timeline, kept: Sequence[bool]) -> tuple[tuple[int, ...], Array]:
    """outbreak.run: minutes that are kept, and times × rows × draws."""
    life = course.life
    g, minutes = packed.grid(course, line, kept)
    out = np.empty((len(minutes), life.table.rows, life.draws))
    made = packed.going(life, paced(course, line.settings[0]))
    _advance(life, course.start, g, made, packed.killing(course), packed.acts_of(course, line), out)
    return minutes, out


def filled(life: Life, p: Rows, start: Array, held: Array, steps: int, h: float) -> Array:
    """outbreak.fill."""
    made = packed.going(life, packed.one_setting(p), held)
    none = np.empty((0, life.table.rows, life.draws))
    killing, acts = packed.no_killing(life), packed.no_acts(life)
    y = _advance(life, start, packed.even(steps, h), made, killing, acts, none)
    return np.asarray(y.transpose(1, 0, 2).reshape(life.table.rows, life.draws))


def _advance(life: Life, start: Array, g: Grid, made: Any, s: Any, acts: Any, out: Array) -> Array:
    table, places, settings = made
    d, x, y = packed.resisting(life, table.holds), packed.harm_of(life), blocked(start)

    flats = settings.reshape(*settings.shape[:2], -1)

    def work(b: int) -> None:
        flat = y[b].reshape(-1)
        forward_kernel(b, flat, y[b], g, table, places, flats[b], settings[b], s, d, x, acts, out)

    over(len(y), work)
    return y


def compile_now() -> None:
    """Have the kernels ready: for the types that every organism brings, on one of no consequence."""
    course = of_no_consequence()
    life, start = course.life, course.start
    filled(life, life.pace(course.around.around(0, after=True)), start, np.ones(len(start)), 1, 0.01)
    line = timeline(course)
    forward(course, line, [True] * line.edges.size)


def of_no_consequence() -> Course:
    """An hour of the first organism."""
    facts, ones = load(), np.ones(64)
    herd = Herd(fish=ones, fish_g=ones, volume_l=ones, turnover_1_d=ones)
    life = life_of(facts, next(iter(facts.organisms)), herd, ones.size)
    e = Around(temp_c=24 * ones, stress=0.1 * ones)
    around = Surroundings(
        minutes=np.array([0, 60]), temp_c=np.array([e.temp_c] * 2), stress=np.array([e.stress] * 2), logs={},
        happening=(), standing=((0, Standing()),), steady=True,
    )  # fmt: skip
    return Course(life=life, around=around, begin=0, end=60, start=start_of(life, ones, e.temp_c))
