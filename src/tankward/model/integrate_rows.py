"""One step for rows that are left at rates from once a year to hundreds a day: the loss of each row exactly,
what it gains by four stages of order 4 (Cox and Matthews).

So neither a deadly substance nor a stage of minutes sets the step, and a free stage that sits on a balance of
death and settling stays on it: what is exact of the loss is exact of the balance too. Going back, a row that
is left slowly is taken as a whole (Runge-Kutta): along a chain of rows what comes and what goes nearly
cancel, and split they leave errors many times as large. Going on that could dip below nothing.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np

from .rows import Array

SERIES_BELOW = 1.0
TERMS = 16
TOGETHER_BELOW = 2.4  # loss × step up to which it is taken together with the gains; stable up to 2.78
TINY = 1e-8  # of loss × step, below which a row is not left at all
Rates = Callable[[Array, Array], None]  # state, rates to write


class Shares(msgspec.Struct, frozen=True):
    """What a step makes of rows of which `loss` is taken exactly. [1/d, d]"""

    loss: Array
    half: Array
    whole: Array
    ahead: Array
    first: Array
    middle: Array
    last: Array


def exactly(loss: Array, kill: Array, h: float) -> Array:
    """The part of a loss that is taken exactly going back: by substances always, the rest where it is fast.
    [1/d]
    """
    return np.asarray(np.where(loss * h > TOGETHER_BELOW, loss, 0.0) + kill)


def phi3(z: Array) -> Array:
    """(e^-z - 1 + z - z²/2)/(-z)³ by its series, for small z."""
    total, term = np.zeros_like(z), np.full_like(z, 1.0 / 6.0)
    for n in range(4, 4 + TERMS):
        total += term
        term *= -z / n
    return total


def shares(loss: Array, h: float) -> Shares:
    """For a step of `h` days."""
    z = loss * h
    gone = np.exp(-z / 2)
    left = gone * gone
    safe = np.maximum(z, SERIES_BELOW)
    small = np.minimum(z, SERIES_BELOW)
    s3 = phi3(small)
    s2 = 0.5 - small * s3
    s1 = 1.0 - small * s2
    far = np.exp(-safe)
    c1 = (1.0 - far) / safe
    c2 = (1.0 - c1) / safe
    c3 = (0.5 - c2) / safe
    near = z <= SERIES_BELOW
    p1, p2, p3 = np.where(near, s1, c1), np.where(near, s2, c2), np.where(near, s3, c3)
    ahead = np.where(z > TINY, -np.expm1(-z / 2) / np.maximum(loss, 1e-12), h / 2)
    return Shares(
        loss=loss,
        half=gone,
        whole=left,
        ahead=ahead,
        first=h * (p1 - 3 * p2 + 4 * p3),
        middle=h * (2 * p2 - 4 * p3),
        last=h * (4 * p3 - p2),
    )


def step(y: Array, s: Shares, at: tuple[Rates, Rates, Rates]) -> Array:
    """The rows after a step; `at`: rates at its beginning, middle and end."""
    k = np.empty_like(y)

    def gained(where: Array, rates: Rates) -> Array:
        rates(where, k)
        return k + s.loss * where

    n0 = gained(y, at[0])
    a = s.half * y + s.ahead * n0
    na = gained(a, at[1])
    b = s.half * y + s.ahead * na
    nb = gained(b, at[1])
    c = s.half * a + s.ahead * (2 * nb - n0)
    nc = gained(c, at[2])
    return np.asarray(s.whole * y + s.first * n0 + s.middle * (na + nb) + s.last * nc)
