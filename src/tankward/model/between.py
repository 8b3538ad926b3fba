"""The highest and lowest of a line that is recorded hour by hour: they fall between two records.

Where something happens or is set otherwise (a break) the line has a corner, which is recorded. Elsewhere two
parabolas go through an interval, one with the record before it, one with the record after: where both have
their crest in it, their mean counts. So a line that levels off after a fall is not taken for one that turns
back. Just after a break the parabola with the record after stands alone: there a line is steepest at first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .rows import Array

Flags = NDArray[np.bool_]
Index = NDArray[np.intp]


def highest(times: Array, levels: Array, breaks: Flags) -> Array:
    """The most that each draw reaches.

    Parameters
    ----------
    times : array
        Of the records, rising; where something happens a time stands twice.
    levels : array
        Times × draws.
    breaks : array of bool
        At which times the line may have a corner.

    Returns
    -------
    array
        One for each draw, in the unit of the levels; never less than the highest record.
    """
    found = _beyond(times, levels, breaks, levels.argmax(axis=0)[None], np.ones((1, 1)))
    return np.asarray(found[0])


def lowest(times: Array, levels: Array, breaks: Flags) -> Array:
    """The least that each draw falls to; as `highest`."""
    found = _beyond(times, levels, breaks, levels.argmin(axis=0)[None], np.full((1, 1), -1.0))
    return np.asarray(-found[0])


def both(times: Array, levels: Array, breaks: Flags) -> tuple[Array, Array]:
    """`highest` and `lowest` of many lines: times × lines."""
    rows = np.stack([levels.argmax(axis=0), levels.argmin(axis=0)])
    most, least = _beyond(times, levels, breaks, rows, np.array([[1.0], [-1.0]]))
    return most, -least


def _beyond(times: Array, levels: Array, breaks: Flags, top: Index, up: Array) -> Array:
    """The most in the direction of `up` (1: upwards, -1), from the furthest records `top`: ways × lines."""
    lines = np.arange(levels.shape[1])
    most: Array = up * levels[top, lines]
    for begin in (top - 1, top):  # the intervals on both sides of the furthest record
        with_before = _crest(times, levels, breaks, begin, begin, lines, up)
        with_after = _crest(times, levels, breaks, begin + 1, begin, lines, up)
        corner = breaks[np.maximum(begin, 0)]
        crest = np.where(corner, with_after, (with_before + with_after) / 2)
        most = np.asarray(np.maximum(most, crest))
    return most


def _crest(
    times: Array, levels: Array, breaks: Flags, middle: Index, begin: Index, lines: Index, up: Array
) -> Array:
    """How far the parabola through `middle` and its neighbours goes in the interval after `begin`: nothing
    where it would cross a break, or has no crest in there.
    """
    last = len(times) - 1
    if last < 2:
        return np.full(middle.shape, -np.inf)
    at = np.minimum(np.maximum(middle, 1), last - 1)
    t = [times[at + n] for n in (-1, 0, 1)]
    y = [up * levels[at + n, lines] for n in (-1, 0, 1)]
    there = (at == middle) & ~breaks[at] & (t[1] > t[0]) & (t[2] > t[1])
    before, after = np.where(there, t[1] - t[0], 1.0), np.where(there, t[2] - t[1], 1.0)
    rise, fall = (y[1] - y[0]) / before, (y[2] - y[1]) / after
    bend = (fall - rise) / (before + after)
    there &= bend < 0
    slope = rise + bend * before  # at the middle
    reach = -slope / (2.0 * np.where(there, bend, -1.0))
    inside = np.minimum(np.maximum(begin, 0), last - 1)
    there &= (t[1] + reach >= times[inside]) & (t[1] + reach <= times[inside + 1])
    return np.where(there, y[1] + 0.5 * slope * reach, -np.inf)
