"""How the compiled form holds its numbers: records of named rows, each 32 neighbouring draws.

Every offset is known when the kernel is compiled, so a name costs nothing. All that a block of draws works
on lies in one record: so the compiler sees that no two rows are the same memory, reads each once and keeps
sums in registers. 32 lanes: with fewer, the compiler's unrolled loops end in single draws.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

import numpy as np

from .rows import Array, Rows

LANES = 32
LINE = 64  # bytes that the machine reads at once; a row that begins within one is read twice


def fields(names: Iterable[str]) -> np.dtype[Any]:
    """A record of rows by name, with `all` of them as one flat row."""
    kept = tuple(names)
    size = len(kept) * LANES
    row, flat = (np.float64, (LANES,)), (np.float64, (size,))
    starts = [8 * LANES * n for n in range(len(kept))]
    return np.dtype({
        "names": [*kept, "all"], "formats": [*(row for _ in kept), flat], "offsets": [*starts, 0],
        "itemsize": 8 * size,
    })  # fmt: skip


@cache
def workspace(
    state: tuple[str, ...], pace: tuple[str, ...], drawn: tuple[str, ...], pulls: int
) -> np.dtype[Any]:
    """All that a step of one block reads and writes but the substances."""
    body = fields(state)
    return np.dtype([
        ("y", body),  # where rates are asked for
        ("dy", body),
        ("now", body),
        ("total", body),
        ("least", body),
        ("x", fields(("filter", "plants"))),
        ("p", fields(pace)),
        ("th", fields(drawn)),
        ("pull", np.float64, (pulls, LANES)),
        ("k", np.float64, (pulls, 4, LANES)),
        ("c", np.float64, (pulls, 7, LANES)),
    ])  # fmt: skip


def empty(kind: np.dtype[Any]) -> Any:
    """One record, on the edge of a line."""
    memory = np.zeros(kind.itemsize + LINE, np.uint8)
    first = -memory.ctypes.data % LINE
    return memory[first : first + kind.itemsize].view(kind)


def blocks(rows: Array) -> Array:
    """Rows × draws as blocks × rows × lanes."""
    return rows.reshape(len(rows), rows.shape[1] // LANES, LANES).transpose(1, 0, 2)


def draws_of(copies: Array) -> Array:
    """Blocks × … × lanes as … × draws."""
    turned = np.moveaxis(copies, 0, -2)
    return turned.reshape(*turned.shape[:-2], turned.shape[-2] * LANES)


def named(rows: Rows, draws: int) -> tuple[tuple[str, ...], Array]:
    """Names and values of what has one number for each draw."""
    found = {k: v for k, v in sorted(vars(rows).items()) if isinstance(v, np.ndarray) and v.shape == (draws,)}
    return tuple(found), np.array(list(found.values()))
