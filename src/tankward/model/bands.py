"""Many draws into few numbers: weighted centiles and chances. The only place where draws are reduced."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tankward.quantities.parse import Estimate

from . import run as forms
from .rows import Array

CENTILES = (0.05, 0.25, 0.5, 0.75, 0.95)
DRAW = 0xFFFFFFFF  # of a key, the part that says which draw
TOGETHER = 128  # lines at a time, so that they stay where they are quickly at hand


def centiles(values: Array, weights: Array, at: tuple[float, ...] = CENTILES) -> Array:
    """Weighted centiles along the last axis.

    Parameters
    ----------
    values : array
        ... × draws.
    weights : array
        One for each draw, 0 or more, not all 0.
    at : tuple of float
        Centiles, 0 to 1.

    Returns
    -------
    array
        centiles × ...; each draw stands for the middle of its own weight, with straight lines between.
    """
    told = weights > 0
    lines = values.reshape(-1, values.shape[-1])
    lines = np.ascontiguousarray(lines if told.all() else lines[:, told])
    shares, asked = weights[told] / weights[told].sum(), np.array(at)
    compiled = forms.compiled_bands()
    along = compiled.centiles if compiled and (asked[1:] >= asked[:-1]).all() else walked
    found = np.empty((len(at), len(lines)))
    for begin in range(0, len(lines), TOGETHER):
        some = lines[begin : begin + TOGETHER]
        found[:, begin : begin + TOGETHER] = along(some, _order(some), shares, asked)
    return found.reshape(len(at), *values.shape[:-1])


def walked(lines: Array, keys: NDArray[np.int64], shares: Array, at: Array) -> Array:
    """The oracle: centiles × lines, `keys` as `_order` gives them."""
    order = keys & DRAW
    carried = np.take(shares, order)
    reached = np.cumsum(carried, axis=-1) - carried / 2  # each stands for the middle of its share
    below = np.array([np.count_nonzero(reached < one, axis=-1) for one in at])
    rows, last = np.arange(len(lines)), lines.shape[1] - 1
    before, after = np.maximum(below - 1, 0), np.minimum(below, last)
    r0, r1 = reached[rows, before], reached[rows, after]
    v0, v1 = (lines[rows, order[rows, end]].astype(float) for end in (before, after))
    share = (at[:, None] - r0) / np.where(r1 > r0, r1 - r0, 1.0)
    return np.asarray(v0 + np.clip(share, 0.0, 1.0) * (v1 - v0))


def _order(lines: Array) -> NDArray[np.int64]:
    """Keys whose last 32 bits say which draw comes first, second, …; of equal ones the earlier. Numbers of
    32 bits are sorted as whole ones with the draw behind each: ten times as fast as sorting draws by them.
    """
    if lines.dtype != np.float32:
        return np.argsort(lines, axis=-1, kind="stable")
    bits = lines.view(np.int32)
    keys = (bits ^ (bits >> 31 & 0x7FFFFFFF)).astype(np.int64) << 32 | np.arange(lines.shape[1])
    keys.sort(axis=-1)
    return keys


def band(values: Array, weights: Array) -> Estimate:
    """Median with 5th and 95th centile of one number."""
    low, value, high = centiles(values, weights, (0.05, 0.5, 0.95))
    return Estimate(float(value), float(low), float(high))


def chance(happens: Array, weights: Array) -> float:
    """Share of the weight in which something is so."""
    return float(weights[happens].sum() / weights.sum())


def effective(weights: Array) -> float:
    """Of how many equal draws these weights are worth."""
    return float(weights.sum() ** 2 / (weights**2).sum())
