"""Ranks that should be spread evenly: the test, and the band it draws.

Of N ranks the share below each of 19 places between 0 and 1 is held against the binomial distribution it
has when they are spread evenly. How unlikely the unlikeliest of the 19 is, is the statistic; how likely one
at least as unlikely is by chance follows exactly, from place to place (Säilynoja, Bürkner, Vehtari 2022,
Statistics and Computing 32:32, doi 10.1007/s11222-022-10090-6).
"""

from __future__ import annotations

import numpy as np
from scipy.stats import binom

PLACES = np.arange(1, 20) / 20
LIMIT = 0.001  # over all numbers that are ranked; each one's own limit is this over how many they are
ALIKE = 1e-9


def rank(truth: float, values: np.ndarray, weights: np.ndarray, effective: float, u: float) -> float:
    """Where the truth lies among weighted draws, 0 to 1.

    The truth counts as one effective draw more, and `u` says where in its own place and among equals it lies:
    of n draws alike this is the usual rank of n + 1.
    """
    below, equal = weights[values < truth].sum(), weights[values == truth].sum()
    return float((effective * (below + u * equal) / weights.sum() + u) / (effective + 1.0))


def tails(count: np.ndarray, of: int) -> np.ndarray:
    """Twice the smaller tail of the binomial distribution at each place, the last axis of `count`."""
    low, high = binom.cdf(count, of, PLACES), binom.sf(np.asarray(count) - 1, of, PLACES)
    return np.minimum(2.0 * np.minimum(low, high), 1.0)


def counts(ranks: np.ndarray) -> np.ndarray:
    """How many ranks lie at or below each place."""
    return (np.asarray(ranks)[:, None] <= PLACES).sum(axis=0)


def inside(allowed: np.ndarray, of: int) -> float:
    """Chance that evenly spread ranks are allowed at every place; `allowed`: places × (0 to `of`)."""
    chance, last = np.zeros(of + 1), 0.0
    chance[0] = 1.0
    every = np.arange(of + 1)
    for place, may in zip(PLACES, allowed, strict=True):
        step = (place - last) / (1.0 - last)
        here = np.flatnonzero(chance > 0)
        onward = binom.pmf(every[None, :] - here[:, None], of - here[:, None], step)
        chance = np.where(may, chance[here] @ onward, 0.0)
        last = place
    return float(chance.sum())


def by_chance(ranks: np.ndarray) -> float:
    """Chance that evenly spread ranks look at least as uneven at some place."""
    of = len(ranks)
    seen = tails(counts(ranks), of).min()
    if seen < 1e-12:
        return float(min(seen * PLACES.size, 1.0))  # beyond what adding up can tell: the sum is a bound
    every = tails(np.repeat(np.arange(of + 1)[:, None], PLACES.size, axis=1), of).T
    return max(1.0 - inside(every > seen * (1.0 + ALIKE), of), 0.0)


def band(of: int, limit: float) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest share at each place that are not yet uneven."""
    every = tails(np.repeat(np.arange(of + 1)[:, None], PLACES.size, axis=1), of).T
    low, high = 0.0, limit
    for _ in range(20):
        middle = (low + high) / 2
        low, high = (middle, high) if 1.0 - inside(every > middle, of) <= limit else (low, middle)
    may = every > low
    first = may.argmax(axis=1)
    last = of - may[:, ::-1].argmax(axis=1)
    return first / of, last / of
