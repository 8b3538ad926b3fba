"""The spread of burdens over fish, as a few nodes: a mean of six hides the fish with nine hundred."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from tankward.model.rows import Array

NODES = 8  # equal shares of the fish
GRID = 1500
LOWEST, HIGHEST = -60.0, 5.5  # ln of the burden over its mean


def nodes(k: Array) -> Array:
    """Mean burden of each eighth of the fish, over the mean of all, for a gamma distribution of shape k.

    Parameters
    ----------
    k : array
        Shape; the smaller, the more sits on few fish. [-]

    Returns
    -------
    array
        nodes × draws; their mean is 1. Read only.
    """
    return _nodes(np.asarray(k, dtype=float).tobytes())


@lru_cache(32)
def _nodes(shapes: bytes) -> Array:
    k = np.frombuffer(shapes)
    x = np.linspace(LOWEST, HIGHEST, GRID)[:, None]
    log_density = k * x - k * np.exp(x)  # in ln of the burden
    density = np.exp(log_density - log_density.max(axis=0))
    number = np.vstack([np.zeros(k.size), np.cumsum((density[1:] + density[:-1]) / 2, axis=0)])
    mass = density * np.exp(x)
    carried = np.vstack([np.zeros(k.size), np.cumsum((mass[1:] + mass[:-1]) / 2, axis=0)])
    number, carried = number / number[-1], carried / carried[-1]
    at = np.linspace(0.0, 1.0, NODES + 1)
    up_to = [np.interp(at, number[:, d], carried[:, d]) for d in range(k.size)]
    found = np.asarray(np.diff(np.array(up_to), axis=1).T * NODES)
    found.flags.writeable = False
    return found
