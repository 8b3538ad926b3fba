"""Organisms, compiled: one step forward and one step back, with the oracle's own bodies, one draw at a time.

Any organism is tables, so one compile serves them all. What a step reads goes in as tuples of arrays, rows ×
draws; paces, deaths by substances and the table of steps are worked out by the oracle's code.
"""

from __future__ import annotations

from types import FunctionType
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from tankward.knowledge.loader import load

from .clearance import Lines, healthy, linear, lines_of
from .clearance import backward as backward_body
from .compile import PLAIN, cached_in
from .integrate_rows import SERIES_BELOW, TERMS, TINY, Shares
from .lives.tables import Around, Herd, Table
from .organisms import life_of, start_of
from .outbreak import workspace
from .processes import organism
from .rows import Array, Rows


class Whole(NamedTuple):
    """Of `Table`, what the bodies read."""

    rows: Any
    views: Any
    source: Any
    gain: Any
    lose: Any
    stays: Any
    taken: Any
    given: Any
    over: Any
    under: Any
    seen_view: Any
    seen_row: Any
    heals: Any
    healing: Any
    hosted: Any
    fish: Any
    lost: Any
    corpse: Any
    burden: Any
    grams: Any


class Pace(NamedTuple):
    """Of `Life.pace`."""

    rate: Any
    give: Any
    low: Any
    slope: Any
    weight: Any
    die: Any
    half: Any
    hill: Any
    most: Any
    shed: Any
    node: Any
    share: Any


class Work(NamedTuple):
    """Room for views and modifiers."""

    sums: Any
    mod: Any


class Leaving(NamedTuple):
    """Of `Lines`, how individuals leave young."""

    turn_from: Any
    turn_to: Any
    litters: Any
    bear_from: Any
    bear_to: Any
    bear_by: Any
    come_to: Any
    hosts: Any


class Linear(NamedTuple):
    """Of `clearance.linear`."""

    die: Any
    turn: Any
    turn_give: Any
    bear: Any
    bear_give: Any
    come: Any
    come_give: Any


class Exact(NamedTuple):
    """Of `Shares`."""

    loss: Any
    half: Any
    whole: Any
    ahead: Any
    first: Any
    middle: Any
    last: Any


def inlined(body: Any, **parts: Any) -> Any:
    """A body of the oracle whose parts are compiled too."""
    return njit(**PLAIN)(FunctionType(body.__code__, {**body.__globals__, **parts}))


rates_of_one = inlined(organism.rates, see=njit(**PLAIN)(organism.see), harm=njit(**PLAIN)(organism.harm))
back_of_one = njit(**PLAIN)(backward_body)


@njit(**PLAIN)
def gained(y: Any, p: Any, t: Any, kill: Any, w: Any, loss: Any, out: Any) -> None:
    """Rates of all rows without the part of the loss that is taken exactly."""
    for i in range(y.shape[1]):
        rates_of_one(y, p, t, kill, out, w, i)
    for r in range(y.shape[0]):
        for i in range(y.shape[1]):
            out[r, i] += loss[r, i] * y[r, i]


@njit(**PLAIN)
def gained_back(r: Any, p: Any, n: Any, loss: Any, out: Any) -> None:
    """The same for r of the branching process."""
    for i in range(r.shape[1]):
        back_of_one(r, p, n, out, i)
    for k in range(r.shape[0]):
        for i in range(r.shape[1]):
            out[k, i] += loss[k, i] * r[k, i]


@njit(**PLAIN)
def onward(y: Any, s: Any, n: Any, out: Any) -> None:
    """Half a step on from `y`."""
    for r in range(y.shape[0]):
        for i in range(y.shape[1]):
            out[r, i] = s.half[r, i] * y[r, i] + s.ahead[r, i] * n[r, i]


@njit(**PLAIN)
def further(a: Any, s: Any, n0: Any, nb: Any, out: Any) -> None:
    """A whole step on, by way of `a`."""
    for r in range(a.shape[0]):
        for i in range(a.shape[1]):
            out[r, i] = s.half[r, i] * a[r, i] + s.ahead[r, i] * (2 * nb[r, i] - n0[r, i])


@njit(**PLAIN)
def arrived(y: Any, s: Any, n0: Any, na: Any, nb: Any, nc: Any, out: Any) -> None:
    """The rows after the step."""
    for r in range(y.shape[0]):
        for i in range(y.shape[1]):
            gain = s.first[r, i] * n0[r, i] + s.middle[r, i] * (na[r, i] + nb[r, i])
            out[r, i] = s.whole[r, i] * y[r, i] + gain + s.last[r, i] * nc[r, i]


def _forward(y: Any, s: Any, paces: Any, kills: Any, t: Any, w: Any) -> Any:
    """integrate_rows.step with the rates of an organism."""
    n0, na, nb, nc = np.empty_like(y), np.empty_like(y), np.empty_like(y), np.empty_like(y)
    a, b = np.empty_like(y), np.empty_like(y)
    gained(y, paces[0], t, kills[0], w, s.loss, n0)
    onward(y, s, n0, a)
    gained(a, paces[1], t, kills[1], w, s.loss, na)
    onward(y, s, na, b)
    gained(b, paces[1], t, kills[1], w, s.loss, nb)
    further(a, s, n0, nb, b)
    gained(b, paces[2], t, kills[2], w, s.loss, nc)
    arrived(y, s, n0, na, nb, nc, a)
    return a


def _back(r: Any, s: Any, p: Any, n: Any) -> Any:
    """integrate_rows.step with the rates of the branching process."""
    n0, na, nb, nc = np.empty_like(r), np.empty_like(r), np.empty_like(r), np.empty_like(r)
    a, b = np.empty_like(r), np.empty_like(r)
    gained_back(r, p[0], n, s.loss, n0)
    onward(r, s, n0, a)
    gained_back(a, p[1], n, s.loss, na)
    onward(r, s, na, b)
    gained_back(b, p[1], n, s.loss, nb)
    further(a, s, n0, nb, b)
    gained_back(b, p[2], n, s.loss, nc)
    arrived(r, s, n0, na, nb, nc, a)
    return a


def _exact(loss: Any, h: float) -> Any:
    """integrate_rows.shares: half, whole, ahead, first, middle, last."""
    out = np.empty((6, *loss.shape))
    for r in range(loss.shape[0]):
        for i in range(loss.shape[1]):
            z = loss[r, i] * h
            gone = np.exp(-z / 2)
            if z <= SERIES_BELOW:
                p3, term = 0.0, 1.0 / 6.0
                for n in range(4, 4 + TERMS):
                    p3 += term
                    term *= -z / n
                p2 = 0.5 - z * p3
                p1 = 1.0 - z * p2
            else:
                p1 = (1.0 - np.exp(-z)) / z
                p2 = (1.0 - p1) / z
                p3 = (0.5 - p2) / z
            out[0, r, i] = gone
            out[1, r, i] = gone * gone
            out[2, r, i] = -np.expm1(-z / 2) / max(loss[r, i], 1e-12) if z > TINY else h / 2
            out[3, r, i] = h * (p1 - 3 * p2 + 4 * p3)
            out[4, r, i] = h * (2 * p2 - 4 * p3)
            out[5, r, i] = h * (4 * p3 - p2)
    return out


with cached_in() as keep:
    forward_kernel = njit(nogil=True, error_model="numpy", cache=keep)(_forward)
    back_kernel = njit(nogil=True, error_model="numpy", cache=keep)(_back)
    exact_kernel = njit(nogil=True, error_model="numpy", cache=keep)(_exact)


def _tuple(kind: Any, of: Any) -> Any:
    return kind(*(getattr(of, name) for name in kind._fields))


def shares(loss: Array, h: float) -> Shares:
    """As integrate_rows.shares."""
    return Shares(loss, *exact_kernel(loss, h))


def forward(
    y: Array, taken: Shares, paces: tuple[Rows, Rows, Rows], kills: tuple[Array, Array, Array],
    table: Table, work: Rows,
) -> Array:  # fmt: skip
    """One step of an organism."""
    at = tuple(_tuple(Pace, p) for p in paces)
    out: Array = forward_kernel(y, _tuple(Exact, taken), at, kills, _tuple(Whole, table), _tuple(Work, work))
    return out


def back(r: Array, taken: Shares, paces: tuple[Rows, Rows, Rows], lines: Lines) -> Array:
    """One step of the branching process."""
    at = tuple(_tuple(Linear, p) for p in paces)
    out: Array = back_kernel(r, _tuple(Exact, taken), at, _tuple(Leaving, lines))
    return out


def compile_now() -> None:
    """Have the kernels ready: for the types that every organism brings, on one of no consequence."""
    facts, ones = load(), np.ones(64)
    herd = Herd(fish=ones, fish_g=ones, volume_l=ones, turnover_1_d=ones)
    life = life_of(facts, next(iter(facts.organisms)), herd, ones.size)
    p = life.pace(Around(temp_c=24 * ones, stress=0.1 * ones))
    y = start_of(life, ones, 24 * ones)
    none, work, lines = np.zeros_like(y), workspace(life), lines_of(life)
    taken = shares(none, 0.01)
    forward(y, taken, (p, p, p), (none, none, none), life.table, work)
    bare = linear(life, lines, p, none, work, healthy(life))
    back(y, taken, (bare, bare, bare), lines)
