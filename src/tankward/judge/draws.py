"""256 draws of every uncertain number of a network, fixed for good: a Latin hypercube whose columns are keyed
by name.

A new cause or sign brings columns of its own and leaves the others as they were, so answers do not move
when the list grows.
"""

from __future__ import annotations

import hashlib
from functools import cache
from statistics import NormalDist
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]

DRAWS = 256
_Z95 = NormalDist().inv_cdf(0.95)
_MIDS = (np.arange(DRAWS) + 0.5) / DRAWS
_Z = np.array([NormalDist().inv_cdf(float(u)) for u in _MIDS])


@cache
def order(name: str) -> NDArray[np.int64]:
    """The column of a name: in which order it runs through the 256 strata."""
    bits = hashlib.shake_256(name.encode()).digest(8 * DRAWS)
    return np.argsort(np.frombuffer(bits, dtype="<u8"), kind="stable")


def uniform(name: str) -> Array:
    """Draws of a uniform number, one in the middle of each stratum."""
    return _MIDS[order(name)]


def chance(name: str, low: float, high: float) -> Array:
    """Draws of a chance whose central 90 % is low to high.

    Parameters
    ----------
    name : str
        Key of the column.
    low, high : float
        5th and 95th centile, 0 to 1. [-]

    Returns
    -------
    Array
        256 values, logit-normal; uniform where an end is 0 or 1, as a logit has no end there.
    """
    if low == high:
        return np.full(DRAWS, low)
    if low <= 0.0 or high >= 1.0:
        return low + (high - low) * uniform(name)
    ends = np.log(np.array([low, high]) / (1.0 - np.array([low, high])))
    z = _Z[order(name)] / _Z95
    return np.asarray(1.0 / (1.0 + np.exp(-(ends.mean() + z * (ends[1] - ends[0]) / 2.0))))


def factor(name: str, low: float, high: float) -> Array:
    """Draws of a positive factor, lognormal with central 90 % from low to high, cut at low/2 and 2 x high."""
    if low == high:
        return np.full(DRAWS, low)
    ends = np.log([low, high])
    z = _Z[order(name)] / _Z95
    drawn = np.exp(ends.mean() + z * (ends[1] - ends[0]) / 2.0)
    return np.asarray(np.clip(drawn, low / 2.0, 2.0 * high))


def band(values: Array) -> tuple[float, float, float]:
    """5th centile, median and 95th centile of the draws."""
    rows = np.sort(values)
    return _centile(rows, 0.05), _centile(rows, 0.5), _centile(rows, 0.95)


def _centile(rows: Array, share: float) -> float:
    """Between the two sorted values that lie beside a share; np.quantile, without its half a millisecond."""
    place = share * (len(rows) - 1)
    below = int(place)
    above, part = min(below + 1, len(rows) - 1), place - below
    gap = rows[above] - rows[below]
    return float(rows[below] + gap * part if part < 0.5 else rows[above] - gap * (1.0 - part))
