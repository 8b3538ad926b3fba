"""The processes of the water, compiled: the same bodies as the oracle's, one draw at a time in lanes of 32.

The kernel takes a block of draws through a stretch: all steps up to the next event. Nothing is reduced over
draws, so the numbers of a draw do not depend on who runs beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from .compile import CALLED, PLAIN, cached_in
from .compose import compose
from .integrate import SERIES_BELOW, TERMS
from .layout import LANES
from .oracle import A_LITTLE_MG_L
from .processes import substances
from .tank import PROCESSES

FADED = 1e-200  # what is left of something long gone; numbers below 1e-308 are slow to reckon with
LEFT_HALF, LEFT, Q, WHOLE, F1, F2, F3 = range(7)  # what a step makes of a pulled row


class Steps(NamedTuple):
    """One row for each step of a stretch."""

    hours: Any
    copy: Any  # number of the copy to keep before it, or -1
    pace: Any  # which environment at its beginning, middle and end
    loss: Any  # which losses


class Water(NamedTuple):
    """Rows × draws: the fields as they stand, the least that each was, what is drawn."""

    fields: Any
    least: Any
    drawn: Any


class Dissolved(NamedTuple):
    """Substances × draws as they stand; losses × halves × …: what is left of each, hours that an inflow
    counts; effects, and one over the level from which each has its whole effect.
    """

    amounts: Any
    left: Any
    counts: Any
    inflow: Any
    filter_left: Any
    plants_left: Any
    per_full: Any


class Stiff(NamedTuple):
    """Rows that are pulled back: which, where their rate is in the pace, below which level each may empty."""

    rows: Any
    rates: Any
    scarce: Any


class Kept(NamedTuple):
    """Blocks × copies × rows × lanes, and which rows of the fields."""

    fields: Any
    amounts: Any
    rows: Any


def fused(bodies: Sequence[Callable[..., None]]) -> Any:
    """One inlined function that calls all bodies in their order."""
    head = njit(**PLAIN)(bodies[0])
    if len(bodies) == 1:
        return head
    tail = fused(bodies[1:])

    @njit(**PLAIN)
    def both(y: Any, x: Any, p: Any, th: Any, dy: Any, i: Any) -> None:
        head(y, x, p, th, dy, i)
        tail(y, x, p, th, dy, i)

    return both


rates = fused(compose(PROCESSES).rates_of)
effect = njit(**PLAIN)(substances.effect)


@njit(**CALLED)
def ask(work: Any) -> None:
    """Rates at `y`, into `dy`."""
    w = work[0]
    y, x, p, th, dy, every = w.y, w.x, w.p, w.th, w.dy, w.dy.all
    for j in range(every.size):
        every[j] = 0.0
    for i in range(LANES):
        rates(y, x, p, th, dy, i)


@njit(**PLAIN)
def take(row: Any, rows: Any, first: int) -> None:
    """A block of some rows × draws, into one flat row."""
    for r in range(rows.shape[0]):
        for i in range(LANES):
            row[r * LANES + i] = rows[r, first + i]


@njit(**PLAIN)
def give(rows: Any, first: int, row: Any) -> None:
    """A flat row back into its block of rows × draws."""
    for r in range(rows.shape[0]):
        for i in range(LANES):
            rows[r, first + i] = row[r * LANES + i]


@njit(**PLAIN)
def look(w: Any, sub: Any, first: int) -> None:
    """What the substances leave of the filter's and of the plants' work, as substances.seen."""
    works, grow, per_l = w.x.filter, w.x.plants, w.p.per_l
    for i in range(LANES):
        works[i] = 1.0
        grow[i] = 1.0
    for s in range(sub.per_full.size):
        for i in range(LANES):
            reached = effect(sub.amounts[s, first + i] * per_l[i] * sub.per_full[s])
            works[i] *= 1.0 - (1.0 - sub.filter_left[s, first + i]) * reached
            grow[i] *= 1.0 - (1.0 - sub.plants_left[s, first + i]) * reached


@njit(**PLAIN)
def fade(sub: Any, loss: int, half: int, first: int) -> None:
    """Half a step of every substance."""
    for s in range(sub.per_full.size):
        for i in range(first, first + LANES):
            faded = sub.amounts[s, i] * sub.left[loss, half, s, i]
            sub.amounts[s, i] = faded + sub.inflow[loss, s, i] * sub.counts[loss, half, s, i]


@njit(**PLAIN)
def third(z: float) -> float:
    """φ_3(−z) of integrate.py by its series."""
    series, term = 0.0, 1.0 / 6.0
    for n in range(TERMS):
        series += term
        term *= -z / (n + 4)
    return series


@njit(**PLAIN)
def coefficients(c: Any, rate: Any, h: float) -> None:
    """What a step of `h` hours makes of a row that is pulled back at `rate`, as integrate.pull.

    Each φ from its neighbour: upwards where z is large, downwards from the series where it is small.
    """
    for i in range(LANES):
        z = rate[i] * h
        c[LEFT_HALF, i] = np.exp(-z / 2)
        c[LEFT, i] = np.exp(-z)
    for i in range(LANES):
        z = rate[i] * h
        few, many = min(z, SERIES_BELOW), max(z, SERIES_BELOW)
        s3 = third(few)
        s2 = 0.5 - few * s3
        l1 = (1.0 - c[LEFT, i]) / many
        l2 = (1.0 - l1) / many
        small = z <= SERIES_BELOW
        p1 = 1.0 - few * s2 if small else l1
        p2 = s2 if small else l2
        p3 = s3 if small else (0.5 - l2) / many
        half = min(z / 2, SERIES_BELOW)
        q1 = 1.0 - half * (0.5 - half * third(half))
        c[Q, i] = h / 2 * (q1 if z / 2 <= SERIES_BELOW else (1.0 - c[LEFT_HALF, i]) / (many / 2))
        c[WHOLE, i] = h * p1
        c[F1, i] = h * (p1 - 3 * p2 + 4 * p3)
        c[F2, i] = h * (2 * p2 - 4 * p3)
        c[F3, i] = h * (4 * p3 - p2)


@njit(**PLAIN)
def steepest(work: Any, stiff: Any, n: int, h: float) -> bool:
    """The pull of a row that runs out, in `k`: as steep as its own sinks are near nothing, as Water._scarce
    has it. False where none does; else the rates of the step have to be asked for again.
    """
    w, row = work[0], stiff.rows[n] * LANES
    y, dy, now, volume, per_l = w.y.all, w.dy.all, w.now.all, w.p.volume_l, w.p.per_l
    falling, steep = w.k[n, 0], w.k[n, 1]
    runs_out = False
    for i in range(LANES):
        falling[i] = (now[row + i] + min(dy[row + i], 0.0) * h) * per_l[i]
        runs_out = runs_out or falling[i] < stiff.scarce[n]
    if not runs_out:
        return False
    for i in range(LANES):
        y[row + i] = 0.0
    ask(work)
    for i in range(LANES):
        steep[i] = dy[row + i]
        y[row + i] = A_LITTLE_MG_L * volume[i]
    ask(work)
    for i in range(LANES):
        steep[i] = (steep[i] - dy[row + i]) / (A_LITTLE_MG_L * volume[i])
        steep[i] = steep[i] if falling[i] < stiff.scarce[n] else 0.0
        y[row + i] = now[row + i]
    return True


@njit(**PLAIN)
def pulled(work: Any, stiff: Any, paces: Any, at: int, first: int, h: float, as_before: bool) -> None:
    """Pull and coefficients of each pulled row in this step; worked out again only where they change."""
    w = work[0]
    for n in range(stiff.rows.size):
        pull, steep, usual = w.pull[n], w.k[n, 1], paces[stiff.rates[n], at]
        again = steepest(work, stiff, n, h)
        same = as_before and not again
        for i in range(LANES):
            wanted = max(usual[first + i], steep[i]) if again else usual[first + i]
            same = same and wanted == pull[i]
            pull[i] = wanted
        if not same:
            coefficients(w.c[n], pull, h)
        if again:
            ask(work)


@njit(**PLAIN)
def onward(w: Any, stiff: Any, stage: int, h: float) -> None:
    """Add a stage's rates to the sum, and say where to ask next."""
    y, dy, now, total = w.y.all, w.dy.all, w.now.all, w.total.all
    forward = h if stage == 2 else h / 2
    for n in range(stiff.rows.size):
        row, k, pull = stiff.rows[n] * LANES, w.k[n, stage], w.pull[n]
        for i in range(LANES):
            k[i] = dy[row + i] + pull[i] * y[row + i]
    if stage == 0:
        for j in range(y.size):
            total[j] = dy[j]
            y[j] = now[j] + forward * dy[j]
    else:
        for j in range(y.size):
            total[j] += 2.0 * dy[j]
            y[j] = now[j] + forward * dy[j]
    for n in range(stiff.rows.size):
        row, c, k = stiff.rows[n] * LANES, w.c[n], w.k[n]
        if stage < 2:
            for i in range(LANES):
                y[row + i] = c[LEFT_HALF, i] * now[row + i] + c[Q, i] * k[stage, i]
        else:
            for i in range(LANES):
                begun = c[LEFT_HALF, i] * now[row + i] + c[Q, i] * k[0, i]
                y[row + i] = c[LEFT_HALF, i] * begun + c[Q, i] * (2 * k[2, i] - k[0, i])


@njit(**PLAIN)
def arrive(w: Any, stiff: Any, h: float) -> None:
    """The fields after the step."""
    y, dy, now, total, least = w.y.all, w.dy.all, w.now.all, w.total.all, w.least.all
    for n in range(stiff.rows.size):
        row, c, k, pull = stiff.rows[n] * LANES, w.c[n], w.k[n], w.pull[n]
        for i in range(LANES):
            last = dy[row + i] + pull[i] * y[row + i]
            value = c[LEFT, i] * now[row + i] + c[F1, i] * k[0, i]
            value += c[F2, i] * (k[1, i] + k[2, i]) + c[F3, i] * last
            first_order = c[LEFT, i] * now[row + i] + c[WHOLE, i] * k[0, i]
            k[0, i] = first_order if value < 0 else value
    for j in range(y.size):
        value = now[j] + h / 6 * (total[j] + dy[j])
        now[j] = value if abs(value) > FADED else 0.0
    for n in range(stiff.rows.size):
        row, k = stiff.rows[n] * LANES, w.k[n]
        for i in range(LANES):
            now[row + i] = k[0, i]
    for j in range(y.size):
        y[j] = now[j]
        least[j] = min(least[j], now[j])


@njit(**PLAIN)
def keep_copy(w: Any, sub: Any, kept: Any, copy: int, first: int) -> None:
    """The fields that are asked for and the substances, as they stand."""
    block = first // LANES
    for n in range(kept.rows.size):
        row = kept.rows[n] * LANES
        for i in range(LANES):
            kept.fields[block, copy, n, i] = w.now.all[row + i]
    for s in range(sub.per_full.size):
        for i in range(LANES):
            kept.amounts[block, copy, s, i] = sub.amounts[s, first + i]


def _water(
    begin: int, end: int, steps: Any, water: Any, paces: Any, sub: Any, stiff: Any, kept: Any, work: Any
) -> None:
    """Draws `begin` to `end`, block by block, through a stretch. `paces`: rows × environments × draws."""
    w = work[0]
    for first in range(begin, end, LANES):
        take(w.th.all, water.drawn, first)
        take(w.now.all, water.fields, first)
        take(w.y.all, water.fields, first)
        take(w.least.all, water.least, first)
        at = -1
        for n in range(steps.hours.size):
            h = steps.hours[n]
            if steps.copy[n] >= 0:
                keep_copy(w, sub, kept, steps.copy[n], first)
            for stage in range(4):
                node = (stage + 1) // 2
                otherwise = steps.pace[n, node] != at
                if otherwise:
                    at = steps.pace[n, node]
                    for r in range(paces.shape[0]):
                        for i in range(LANES):
                            w.p.all[r * LANES + i] = paces[r, at, first + i]
                if stage == 1 or stage == 3:
                    fade(sub, steps.loss[n], node - 1, first)
                if otherwise or stage == 1 or stage == 3:
                    look(w, sub, first)
                ask(work)
                if stage == 0:
                    as_before = n > 0 and h == steps.hours[n - 1]
                    pulled(work, stiff, paces, steps.pace[n, 1], first, h, as_before)
                if stage < 3:
                    onward(w, stiff, stage, h)
            arrive(w, stiff, h)
        give(water.fields, first, w.now.all)
        give(water.least, first, w.least.all)


with cached_in() as keep:
    water = njit(nogil=True, error_model="numpy", cache=keep)(_water)
