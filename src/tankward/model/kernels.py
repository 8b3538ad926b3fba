"""The processes of the water, compiled: the same bodies as the oracle's, one draw at a time in lanes of 32.

A stretch is a run of steps of one length in which nothing is done and nothing is set otherwise; all that
is divided and warmed (`pace`) is worked out before it. Nothing is reduced over draws, so the numbers of a
draw do not depend on who runs beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from .compile import PLAIN, cached_in
from .compose import compose
from .integrate import SERIES_BELOW, TERMS
from .layout import LANES
from .oracle import A_LITTLE_MG_L
from .tank import PROCESSES

LEFT_HALF, LEFT, Q, WHOLE, F1, F2, F3 = range(7)  # what a step makes of a pulled row
COEFFICIENTS = 7


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


@njit(**PLAIN)
def phi(z: Any, order: int) -> Any:
    """As in integrate.py, for one number."""
    if z <= SERIES_BELOW:
        series, term = 0.0, 1.0
        for n in range(1, order + 1):
            term = term / n
        for n in range(TERMS):
            series = series + term
            term = term * -z / (n + 1 + order)
        return series
    value, factorial = np.exp(-z), 1.0
    for n in range(order):
        value = (value - 1.0 / factorial) / -z
        factorial *= n + 1
    return value


@njit(**PLAIN)
def coefficients(rate: float, h: float, out: Any, i: int) -> None:
    """What a step of `h` hours makes of a row that is pulled back at `rate`, as integrate.pull."""
    z = rate * h
    p1, p2, p3 = phi(z, 1), phi(z, 2), phi(z, 3)
    out[LEFT_HALF, i] = np.exp(-z / 2)
    out[LEFT, i] = np.exp(-z)
    out[Q, i] = h / 2 * phi(z / 2, 1)
    out[WHOLE, i] = h * p1
    out[F1, i] = h * (p1 - 3 * p2 + 4 * p3)
    out[F2, i] = h * (2 * p2 - 4 * p3)
    out[F3, i] = h * (4 * p3 - p2)


@njit(**PLAIN)
def look(sub: Any, p: Any, x: Any) -> None:
    """What the substances leave of the filter's and of the plants' work, as substances.seen."""
    for i in range(LANES):
        x.filter[i] = 1.0
        x.plants[i] = 1.0
    for s in range(sub.full.size):
        for i in range(LANES):
            reached = min(sub.amounts[s, i] * p.per_l[i] / sub.full[s], 1.0)
            x.filter[i] *= 1.0 - (1.0 - sub.filter_left[s, i]) * reached
            x.plants[i] *= 1.0 - (1.0 - sub.plants_left[s, i]) * reached


@njit(**PLAIN)
def fade(sub: Any, half: int) -> None:
    """Half a step of every substance."""
    for s in range(sub.full.size):
        for i in range(LANES):
            faded = sub.amounts[s, i] * sub.left[half, s, i]
            sub.amounts[s, i] = faded + sub.inflow[s, i] * sub.counts[half, s, i]


class Fields(NamedTuple):
    """One block of draws: records and their flat views, rows × lanes."""

    asked: Any  # record: where rates are asked for
    rates: Any  # record
    now: Any
    ahead: Any  # flat view of `asked`
    rate: Any  # flat view of `rates`
    total: Any


class Dissolved(NamedTuple):
    """Substances × lanes, but for `full`: the level from which each has its whole effect."""

    amounts: Any
    left: Any  # two halves of a step
    counts: Any
    inflow: Any
    filter_left: Any
    plants_left: Any
    full: Any


class Pulls(NamedTuple):
    """Rows that are pulled back: which, how fast, what a usual step makes of them; then work space."""

    rows: Any
    rate: Any
    scarce: Any  # level below which each may empty in a step
    usual: Any
    falling: Any  # how it changes at the beginning of the step
    k: Any
    now: Any  # rate and coefficients of this step


class Kept(NamedTuple):
    """Copies × blocks × …, and the least that each field was."""

    fields: Any
    amounts: Any
    lowest: Any


@njit(**PLAIN)
def all_rates(f: Any, x: Any, p: Any, th: Any) -> None:
    """Rates at `f.ahead`, into `f.rate`."""
    for j in range(f.rate.size):
        f.rate[j] = 0.0
    for i in range(LANES):
        rates(f.asked, x, p, th, f.rates, i)


@njit(**PLAIN)
def begin(f: Any, x: Any, p: Any, th: Any) -> None:
    """Rates at the beginning of the step."""
    for j in range(f.now.size):
        f.ahead[j] = f.now[j]
    all_rates(f, x, p, th)


@njit(**PLAIN)
def scarce(f: Any, x: Any, p: Any, th: Any, pulls: Any, n: int, h: float) -> bool:
    """This step's pull of a row: steeper where it runs out, as Water._scarce has it. Whether rates were asked
    for elsewhere meanwhile.
    """
    first = pulls.rows[n] * LANES
    low = False
    for i in range(LANES):
        pulls.now[n, 0, i] = pulls.rate[n, i]
        low = low or (f.now[first + i] + min(pulls.falling[n, i], 0.0) * h) * p.per_l[i] < pulls.scarce[n]
    if not low:
        for c in range(COEFFICIENTS):
            for i in range(LANES):
                pulls.now[n, 1 + c, i] = pulls.usual[n, c, i]
        return False
    for j in range(f.now.size):
        f.ahead[j] = f.now[j]
    for i in range(LANES):
        f.ahead[first + i] = 0.0
    all_rates(f, x, p, th)
    for i in range(LANES):
        f.total[i] = f.rate[first + i]
        f.ahead[first + i] = A_LITTLE_MG_L * p.volume_l[i]
    all_rates(f, x, p, th)
    for i in range(LANES):
        if (f.now[first + i] + min(pulls.falling[n, i], 0.0) * h) * p.per_l[i] < pulls.scarce[n]:
            steep = (f.total[i] - f.rate[first + i]) / (A_LITTLE_MG_L * p.volume_l[i])
            pulls.now[n, 0, i] = max(steep, pulls.rate[n, i])
        coefficients(pulls.now[n, 0, i], h, pulls.now[n, 1:], i)
    return True


@njit(**PLAIN)
def onward(f: Any, pulls: Any, stage: int, h: float) -> None:
    """Add a stage's rates to the sum, and say where to ask next."""
    weight = 2.0 if stage == 1 or stage == 2 else 1.0
    forward = h if stage == 2 else h / 2
    for n in range(pulls.rows.size):
        first = pulls.rows[n] * LANES
        for i in range(LANES):
            pulls.k[n, stage, i] = f.rate[first + i] + pulls.now[n, 0, i] * f.ahead[first + i]
    for j in range(f.now.size):
        f.total[j] += weight * f.rate[j]
        f.ahead[j] = f.now[j] + forward * f.rate[j]
    for n in range(pulls.rows.size):
        first, c, k = pulls.rows[n] * LANES, pulls.now[n, 1:], pulls.k[n]
        for i in range(LANES):
            half = c[LEFT_HALF, i] * f.now[first + i]
            if stage < 2:
                f.ahead[first + i] = half + c[Q, i] * k[stage, i]
            else:
                begun = half + c[Q, i] * k[0, i]
                f.ahead[first + i] = c[LEFT_HALF, i] * begun + c[Q, i] * (2 * k[2, i] - k[0, i])


@njit(**PLAIN)
def arrive(f: Any, pulls: Any, h: float) -> None:
    """The fields after the step."""
    for n in range(pulls.rows.size):
        first, c, k = pulls.rows[n] * LANES, pulls.now[n, 1:], pulls.k[n]
        for i in range(LANES):
            value = c[LEFT, i] * f.now[first + i] + c[F1, i] * k[0, i]
            value += c[F2, i] * (k[1, i] + k[2, i]) + c[F3, i] * k[3, i]
            if value < 0:
                value = c[LEFT, i] * f.now[first + i] + c[WHOLE, i] * k[0, i]
            k[0, i] = value
    for j in range(f.now.size):
        f.now[j] += h / 6 * f.total[j]
    for n in range(pulls.rows.size):
        for i in range(LANES):
            f.now[pulls.rows[n] * LANES + i] = pulls.k[n, 0, i]


def _water(
    block: int, h: float, marks: Any, f: Any, x: Any, paces: Any, th: Any, sub: Any, pulls: Any, kept: Any
) -> None:
    """One block of draws through a stretch; `marks`: before which steps to keep a copy."""
    seen = 0
    for step in range(marks.size):
        if marks[step]:
            for j in range(f.now.size):
                kept.fields[seen, block, j] = f.now[j]
            for s in range(sub.full.size):
                for i in range(LANES):
                    kept.amounts[seen, block, s, i] = sub.amounts[s, i]
            seen += 1
        look(sub, paces[0], x[0])
        fade(sub, 0)
        look(sub, paces[0], x[1])
        fade(sub, 1)
        look(sub, paces[0], x[2])
        begin(f, x[0], paces[0], th)
        for n in range(pulls.rows.size):
            for i in range(LANES):
                pulls.falling[n, i] = f.rate[pulls.rows[n] * LANES + i]
        elsewhere = False
        for n in range(pulls.rows.size):
            elsewhere = scarce(f, x[0], paces[0], th, pulls, n, h) or elsewhere
        if elsewhere:
            begin(f, x[0], paces[0], th)
        for j in range(f.now.size):
            f.total[j] = 0.0
        for stage in range(4):
            if stage:
                at = 2 if stage == 3 else 1
                all_rates(f, x[at], paces[at], th)
            onward(f, pulls, stage, h)
        arrive(f, pulls, h)
        for row in range(kept.lowest.size):
            for i in range(LANES):
                kept.lowest[row] = min(kept.lowest[row], f.now[row * LANES + i])


with cached_in() as keep:
    water = njit(nogil=True, error_model="numpy", cache=keep)(_water)
