"""One step of the integrator: classical Runge-Kutta of order 4, in which a field that is pulled back fast
towards
something takes that part exactly.

For a field without a pull the formulas are those of Runge-Kutta; with the pull c (1/h) they are those of Cox
and Matthews (exponential time differencing, order 4) for dy/dt = −c y + N. So strong aeration never sets the
step.
"""

from __future__ import annotations

import msgspec
import numpy as np

from .rows import Array

SERIES_BELOW = 0.5
TERMS = 14


class Pull(msgspec.Struct, frozen=True):
    """A row that is pulled back, with what a step of this length makes of it in each draw."""

    row: int
    rate: Array
    left_half: Array
    left: Array
    q: Array
    whole: Array
    f1: Array
    f2: Array
    f3: Array


def phi(z: Array, order: int) -> Array:
    """φ_order(−z) = Σ (−z)^n / (n + order)!, for z ≥ 0."""
    small = np.minimum(z, SERIES_BELOW)
    series, term = np.zeros_like(z), np.ones_like(z)
    for n in range(1, order + 1):
        term = term / n
    for n in range(TERMS):
        series = series + term
        term = term * -small / (n + 1 + order)
    return np.where(z <= SERIES_BELOW, series, _closed(np.maximum(z, SERIES_BELOW), order))


def _closed(z: Array, order: int) -> Array:
    value, factorial = np.exp(-z), 1.0
    for n in range(order):
        value = (value - 1.0 / factorial) / -z
        factorial *= n + 1
    return np.asarray(value)


def pull(row: int, rate: Array, h: float) -> Pull:
    """What a step of `h` hours makes of a row that is pulled back at `rate` (1/h)."""
    z = rate * h
    p1, p2, p3 = (phi(z, order) for order in (1, 2, 3))
    return Pull(
        row=row,
        rate=rate,
        left_half=np.exp(-z / 2),
        left=np.exp(-z),
        q=h / 2 * phi(z / 2, 1),
        whole=h * p1,
        f1=h * (p1 - 3 * p2 + 4 * p3),
        f2=h * (2 * p2 - 4 * p3),
        f3=h * (4 * p3 - p2),
    )


def ahead(out: Array, start: Array, k: list[Array], h: float, stage: int, pulls: tuple[Pull, ...]) -> None:
    """Where to ask for the rates of `stage` (1 to 3). On return k[stage − 1] of a pulled row is N,
    without its pull.
    """
    before = k[stage - 1]
    for p in pulls:
        before[p.row] += p.rate * out[p.row]
    pulled = [_pulled_ahead(p, start, out, k, stage) for p in pulls]
    np.multiply(before, h if stage == 3 else h / 2, out=out)
    out += start
    for p, value in zip(pulls, pulled, strict=True):
        out[p.row] = value


def _pulled_ahead(p: Pull, start: Array, out: Array, k: list[Array], stage: int) -> Array:
    r = p.row
    if stage < 3:
        return np.asarray(p.left_half * start[r] + p.q * k[stage - 1][r])
    first = p.left_half * start[r] + p.q * k[0][r]
    return np.asarray(p.left_half * first + p.q * (2 * k[2][r] - k[0][r]))


def arrived(start: Array, k: list[Array], h: float, pulls: tuple[Pull, ...], last: Array) -> Array:
    """The fields after the step; `last` is where the last rates were asked for."""
    out: Array = start + h / 6 * (k[0] + 2 * (k[1] + k[2]) + k[3])
    for p in pulls:
        r = p.row
        final = k[3][r] + p.rate * last[r]
        value = p.left * start[r] + p.f1 * k[0][r] + p.f2 * (k[1][r] + k[2][r]) + p.f3 * final
        # Where a pool runs out within the step, the first order: it can't pass below nothing, as N can't.
        out[r] = np.where(value < 0, p.left * start[r] + p.whole * k[0][r], value)
    return out
