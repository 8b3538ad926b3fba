"""Centiles of many lines, compiled: one walk along the draws of each, in their order."""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from .bands import DRAW
from .compile import cached_in
from .rows import Array


def _walk(lines: Any, keys: Any, shares: Any, at: Any, out: Any) -> None:
    """Each draw stands for the middle of its share, with straight lines between; `at` rises."""
    for row in range(lines.shape[0]):
        carried = reached = level = 0.0
        n = 0
        for place in range(lines.shape[1]):
            draw = keys[row, place] & DRAW
            here = carried + shares[draw]
            middle = here - shares[draw] / 2
            value = float(lines[row, draw])
            while n < at.size and middle >= at[n]:
                share = (at[n] - reached) / (middle - reached) if place > 0 and middle > reached else 1.0
                before = level if place > 0 else value
                out[n, row] = before + min(max(share, 0.0), 1.0) * (value - before)
                n += 1
            if n == at.size:
                break
            carried, reached, level = here, middle, value
        for rest in range(n, at.size):
            out[rest, row] = level


with cached_in() as keep:
    walk = njit(nogil=True, error_model="numpy", cache=keep)(_walk)


def centiles(lines: Array, keys: Any, shares: Array, at: Array) -> Array:
    """As bands.walked: centiles × lines. `keys`: of each line the draws in its order."""
    out = np.empty((at.size, len(lines)))
    walk(lines, keys, shares, at, out)
    return out


def compile_now() -> None:
    """Have the kernel ready: for lines of 32 and of 64 bits."""
    keys = np.zeros((1, 1), np.int64)
    for kind in (np.float32, np.float64):
        centiles(np.zeros((1, 1), kind), keys, np.ones(1), np.ones(1))
