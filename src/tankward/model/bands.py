"""Many draws into few numbers: weighted centiles and chances. The only place where draws are reduced."""

from __future__ import annotations

import numpy as np

from tankward.quantities.parse import Estimate

from .rows import Array

CENTILES = (0.05, 0.25, 0.5, 0.75, 0.95)


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
    values, weights = values[..., weights > 0], weights[weights > 0]
    order = np.argsort(values, axis=-1, kind="stable")
    ordered = np.take_along_axis(values, order, axis=-1).astype(float)
    carried = weights[order]
    reached = (np.cumsum(carried, axis=-1) - carried / 2) / weights.sum()
    flat_v, flat_r = ordered.reshape(-1, values.shape[-1]), reached.reshape(-1, values.shape[-1])
    found = np.array([np.interp(at, r, v) for v, r in zip(flat_v, flat_r, strict=True)])
    return found.T.reshape(len(at), *values.shape[:-1])


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
