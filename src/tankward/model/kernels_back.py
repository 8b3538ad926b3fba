"""The pass back, compiled: one call for each block of draws. The oracle is `clearance.Backward`.

Rows that are left alike share all that a step makes of them (`packed_back.py`), so a stage of a step is one
loop over each row: its rate, and from it where the next stage looks. What comes of litters, births and from
outside is summed up before. As in `kernels_rows.py` every loop runs over lanes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numba import njit

from . import packed
from .clearance import Pass, pass_back
from .compile import PLAIN, cached_in
from .integrate_rows import TOGETHER_BELOW
from .kernels_rows import of_no_consequence, over, part, resist
from .memo import once
from .packed_back import back_acts, repeats, returning
from .rows import Array
from .vector import exponential


@njit(**PLAIN)
def killed(s: Any, b: Any, g: Any, step: Any, node: Any, p: Any, t: Any, kill: Any, load: Any) -> None:
    """Death rate of classes by substances."""
    waters, lanes = s.substance.size, load.size
    for c in t.reached:
        for i in range(lanes):
            kill[node, c, i] = 0.0
    here, there, share = g.here[step, node], g.there[step, node], g.share[step, node]
    for q in range(t.reach_first.size):
        top = t.reach + q
        if q < waters:
            one = s.substance[q]
            for i in range(lanes):
                low = s.logs[b, one, here, i]
                log = low + share * (s.logs[b, one, there, i] - low)
                ratio = exponential(s.hill[b, q, i] * (log + s.offset[b, q, i]))
                load[i] = p[top, i] * (ratio / (1.0 + ratio) if log > s.nothing else 0.0)
        else:
            food = g.food[step, node]
            for i in range(lanes):
                load[i] = p[top, i] * s.food[b, food, q - waters, i]
        for n in range(t.reach_first[q], t.reach_last[q]):
            c = t.reached[n]
            for i in range(lanes):
                kill[node, c, i] += load[i]


@njit(**PLAIN)
def others(r: Any, p: Any, t: Any, less: Any, node: Any, extra: Any, load: Any) -> None:
    """What comes of further turns, litters, births, and from outside; nothing is ever added to row 0."""
    lanes = load.size
    for n in range(1, extra.shape[0]):
        for i in range(lanes):
            extra[n, i] = 0.0
    for n in range(t.more_to.size):
        to, here, column = t.more_to[n], t.more_into[n], t.more[n]
        for i in range(lanes):
            extra[here, i] += p[column, i] * r[to, i]
    for n in range(t.turn_to.size):
        to, here, turn, give = t.turn_to[n], t.turn_into[n], t.turn + n, t.give + n
        for i in range(lanes):
            load[i] = p[give, i] * r[to, i]
        if t.turn_blocked[n]:
            for i in range(lanes):
                load[i] *= less[node, i]
        if t.turn_litter[n]:
            for i in range(lanes):
                load[i] = 1.0 - exponential(-max(load[i], 0.0))
        for i in range(lanes):
            extra[here, i] += p[turn, i] * load[i]
    for n in range(t.bear_to.size):
        to, here, by, bear = t.bear_to[n], t.bear_into[n], t.bear_by[n], t.bear + n
        for i in range(lanes):
            load[i] = p[bear, i] * r[to, i]
        if t.bear_blocked[n]:
            for i in range(lanes):
                load[i] *= less[node, i]
        for i in range(lanes):
            extra[here, i] += load[i] * (1.0 - r[by, i])
    for n in range(t.come_to.size):
        to, come = t.come_to[n], t.come + n
        for i in range(lanes):
            extra[t.come_into, i] += p[come, i] * r[to, i] * (less[node, i] if t.come_blocked[n] else 1.0)


@njit(**PLAIN)
def bearing(r: Any, p: Any, t: Any, plain: Any, less: Any, loss: Any) -> None:
    """Into the loss of the stiff classes their births, as these stand."""
    lanes = loss.shape[1]
    for n in range(t.stiff.size):
        c = t.stiff[n]
        for i in range(lanes):
            loss[c, i] = plain[c, i]
    for n in range(t.bear_to.size):
        if t.stiff_bear[n] >= 0:
            c, to, bear = t.stiff[t.stiff_bear[n]], t.bear_to[n], t.bear + n
            for i in range(lanes):
                loss[c, i] += p[bear, i] * r[to, i] * (less[1, i] if t.bear_blocked[n] else 1.0)


@njit(**PLAIN)
def through(
    stage: Any, r: Any, at: Any, a: Any, b: Any, n: Any, away: Any, h: Any, t: Any, p: Any, e: Any
) -> None:
    """One stage: the rates of all rows at `at`, and where the next one looks, or r after the step."""
    half, whole, ahead, first, middle, last = h[0], h[1], h[2], h[3], h[4], h[5]
    lanes = r.shape[1]
    for k in range(t.rows.size):
        row, c, to, q, x = t.rows[k], t.kind[k], t.to[k], t.plain[k], t.extra[k]
        if stage == 0:
            for i in range(lanes):
                rate = away[c, i] * at[row, i] + p[q, i] * at[to, i] + e[x, i]
                n[0, row, i] = rate
                a[row, i] = half[c, i] * r[row, i] + ahead[c, i] * rate
        elif stage == 1:
            for i in range(lanes):
                rate = away[c, i] * at[row, i] + p[q, i] * at[to, i] + e[x, i]
                n[1, row, i] = rate
                b[row, i] = half[c, i] * r[row, i] + ahead[c, i] * rate
        elif stage == 2:
            for i in range(lanes):
                rate = away[c, i] * at[row, i] + p[q, i] * at[to, i] + e[x, i]
                n[1, row, i] += rate
                a[row, i] = half[c, i] * a[row, i] + ahead[c, i] * (2.0 * rate - n[0, row, i])
        else:
            for i in range(lanes):
                rate = away[c, i] * at[row, i] + p[q, i] * at[to, i] + e[x, i]
                gain = first[c, i] * n[0, row, i] + middle[c, i] * n[1, row, i]
                r[row, i] = whole[c, i] * r[row, i] + gain + last[c, i] * rate


def _back(
    b: Any, first: Any, r: Any, g: Any, same: Any, t: Any, settings: Any, s: Any, d: Any, acts: Any, left: Any
) -> None:
    """A block of draws from step `first` to the last; r at the day asked for, then at the beginning."""
    rows, lanes, columns = r.shape[0], r.shape[1], settings.shape[1]
    rates, a, e = np.zeros((2, rows, lanes)), np.zeros((rows, lanes)), np.zeros((t.extras, lanes))
    later, load = np.zeros((rows, lanes)), np.empty(lanes)
    rate, kill = np.zeros((3, t.classes, lanes)), np.zeros((3, t.classes, lanes))
    loss, plain, away = (
        np.zeros((t.classes, lanes)), np.zeros((t.classes, lanes)), np.zeros((t.classes, lanes))
    )  # fmt: skip
    made = np.zeros((6, t.classes, lanes))
    less, faster, mixed = np.ones((3, lanes)), np.zeros((3, lanes)), np.empty((3, columns, lanes))
    for step in range(first, g.days.size + 1):
        if step > first:
            for n in range(g.acts[step], g.acts[step + 1]):
                act = acts[n]
                for q in range(rows):
                    for i in range(lanes):
                        r[q, i] *= left[b, act, q, i]
        if step == g.days.size:
            break
        dosed, h = g.dosed[step], g.days[step]
        for node in range(3):
            before, after = g.before[step, node], g.after[step, node]
            if before != after:
                share = g.between[step, node]
                for k in range(columns):
                    for i in range(lanes):
                        low = settings[before, k, i]
                        mixed[node, k, i] = low + share * (settings[after, k, i] - low)
            p = settings[before] if before == after else mixed[node]
            if node == 0 and step > first and same[step] and g.dosed[step - 1] == dosed:
                for i in range(lanes):
                    less[0, i], faster[0, i] = less[2, i], faster[2, i]
                for c in range(t.classes):
                    for i in range(lanes):
                        kill[0, c, i], rate[0, c, i] = kill[2, c, i], rate[2, c, i]
                continue
            for c in range(t.classes):
                for i in range(lanes):
                    rate[node, c, i] = p[t.base + c, i]
            if d.ever:
                resist(d, b, g.infected_d[step, node], less, faster, node)
                for c in t.hosted:
                    for i in range(lanes):
                        rate[node, c, i] += faster[node, i]
            if dosed:
                killed(s, b, g, step, node, p, t, kill, load)
                for c in range(t.classes):
                    for i in range(lanes):
                        rate[node, c, i] += kill[node, c, i]
        one = g.before[step, 1] == g.after[step, 1]
        p = settings[g.before[step, 1]] if one else mixed[1]
        fresh = g.fresh[step] or step == first
        if fresh:
            for c in range(t.classes):
                for i in range(lanes):
                    loss[c, i] = p[t.base + c, i]
            if d.ever:
                for c in t.hosted:
                    for i in range(lanes):
                        loss[c, i] += faster[1, i]
            for c in range(t.classes):
                for i in range(lanes):
                    mean = (kill[0, c, i] + 4.0 * kill[1, c, i] + kill[2, c, i]) / 6.0 if dosed else 0.0
                    usual = loss[c, i]
                    plain[c, i] = usual + mean
                    loss[c, i] = (usual if usual * h > TOGETHER_BELOW else 0.0) + mean
        if t.stiff.size > 0:
            bearing(r, p, t, plain, less, loss)
        if fresh or t.stiff.size > 0:
            for c in range(t.classes):
                for i in range(lanes):
                    (
                        made[0, c, i], made[1, c, i], made[2, c, i], made[3, c, i], made[4, c, i],
                        made[5, c, i],
                    ) = part(loss[c, i], h)  # fmt: skip
        for stage in range(4):
            node = (stage + 1) // 2
            before, after = g.before[step, node], g.after[step, node]
            p = settings[before] if before == after else mixed[node]
            at = r if stage == 0 else a if stage != 2 else later
            if stage != 2:
                for c in range(t.classes):
                    for i in range(lanes):
                        away[c, i] = loss[c, i] - rate[node, c, i]
            others(at, p, t, less, node, e, load)
            through(stage, r, at, a, later, rates, away, made, t, p, e)


with cached_in() as keep:
    back_kernel = njit(nogil=True, error_model="numpy", cache=keep)(_back)


def back(told: Pass, days: Sequence[int]) -> Array:
    """r at the beginning, for each of the days: days × rows × draws."""
    life, course, line = told.course.life, told.course, told.line
    g, _ = packed.grid(course, line, [False] * line.edges.size)
    table, settings = returning(told)
    s, d = packed.killing(course), once(course.kept, "resisting", None, lambda: packed.resisting(life))
    acts, left = back_acts(told)
    count, lanes, same = settings.shape[0], settings.shape[-1], repeats(line, g.food)
    r = np.zeros((len(days), count, life.table.rows, lanes))
    r[:, :, told.lines.germ] = 1.0
    firsts = [told.first(day) for day in days]

    def work(n: int) -> None:
        day, b = divmod(n, count)
        back_kernel(b, firsts[day], r[day, b], g, same, table, settings[b], s, d, acts, left)

    over(len(days) * count, work)
    return np.ascontiguousarray(r.transpose(0, 2, 1, 3)).reshape(len(days), life.table.rows, life.draws)


def compile_now() -> None:
    """Have the kernel ready: for the types that every organism brings, on one of no consequence."""
    course = of_no_consequence()
    back(pass_back(course, [60]), [60])
