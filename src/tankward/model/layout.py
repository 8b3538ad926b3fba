"""How the compiled form holds its numbers: records of named rows, each a block of neighbouring draws.

Every offset is known when the kernel is compiled, so a name costs nothing and one loop over the lanes
becomes vector instructions. 32 lanes: with fewer, the compiler's unrolled loops end in single draws.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from .rows import Array, Rows

LANES = 32


def record_type(names: Iterable[str]) -> np.dtype[Any]:
    """A record of rows by name."""
    return np.dtype([(name, np.float64, (LANES,)) for name in names])


def blocks(rows: Array) -> Array:
    """Rows × draws into blocks × rows × lanes, one after another in memory."""
    return np.ascontiguousarray(rows.reshape(len(rows), rows.shape[1] // LANES, LANES).transpose(1, 0, 2))


def draws_of(packed: Array) -> Array:
    """… × blocks × rows × lanes back into … × rows × draws."""
    turned = np.moveaxis(packed, -3, -2)
    return np.ascontiguousarray(turned).reshape(*turned.shape[:-2], turned.shape[-2] * LANES)


def records(names: tuple[str, ...], rows: Array) -> Any:
    """Rows × draws as an array of records, one for each block."""
    packed = blocks(rows) if names else np.zeros((rows.shape[1] // LANES, 0, LANES))
    return packed.reshape(packed.shape[0], -1).view(record_type(names))[:, 0]


def named(rows: Rows, draws: int) -> tuple[tuple[str, ...], Array]:
    """Names and values of what has one number for each draw."""
    found = {k: v for k, v in sorted(vars(rows).items()) if isinstance(v, np.ndarray) and v.shape == (draws,)}
    return tuple(found), np.array(list(found.values()))
