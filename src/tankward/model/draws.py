"""The draws of every uncertain number: a fixed table of 1024 × 128, its columns named in columns.txt.

A name keeps its column for good: one dimension more would change every old draw. The first 256 of 512 are the
same draws.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from .rows import Array

BITS = 30
GOLDEN = (5**0.5 - 1) / 2  # turns a column so that repeated uses of it are not the same numbers
SPARE = tuple(f"organism_{n}" for n in range(38, 46))  # turned, they are other numbers than an organism's
COUNTS = (64, 128, 256, 512, 1024)
NOTHING: Mapping[str, tuple[str, bool]] = {}


@cache
def whole_numbers() -> NDArray[np.uint32]:
    """The table as it is kept."""
    with (files("tankward.model") / "sobol.npy").open("rb") as kept:
        return np.asarray(np.load(kept))


@cache
def columns() -> dict[str, int]:
    """Which column belongs to a name."""
    lines = (files("tankward.model") / "columns.txt").read_text().split()
    return {name: column for column, name in enumerate(lines)}


Sweep = Callable[[str, int], Array]
_swept: ContextVar[Sweep | None] = ContextVar("swept", default=None)


@contextmanager
def sweeping(shares: Sweep) -> Iterator[None]:
    """For as long as it lasts every number takes what `shares` (of name and draws) gives, not its column."""
    token = _swept.set(shares)
    try:
        yield
    finally:
        _swept.reset(token)


def swept(name: str, draws: int) -> Array | None:
    """What a sweep gives a name; None outside of one."""
    shares = _swept.get()
    return None if shares is None else shares(name, draws)


_renamed: ContextVar[Mapping[str, tuple[str, bool]]] = ContextVar("renamed", default=NOTHING)


@contextmanager
def renamed(names: Mapping[str, tuple[str, bool]]) -> Iterator[None]:
    """For as long as it lasts a name takes the column of another; `True`: in another order of the draws, so
    that it goes with no column.
    """
    token = _renamed.set(names)
    try:
        yield
    finally:
        _renamed.reset(token)


@cache
def shuffled() -> NDArray[np.intp]:
    """Another order of the draws: within each 64 of them, so that the first of more stay among themselves."""
    blocks = range(0, COUNTS[-1], COUNTS[0])
    order = [sorted(range(b, b + COUNTS[0]), key=lambda n: crc32(f"draw {n}".encode())) for b in blocks]
    return np.concatenate([np.array(block) for block in order])


def uniform(name: str, draws: int, turn: int = 0) -> Array:
    """A column: numbers between 0 and 1, both excluded. `turn` gives further ones from the same column. All
    128 are given away: a name of a new process has one of the spare ones, turned, by its letters.
    """
    told = swept(name, draws)
    if told is not None:
        return told
    name, apart = _renamed.get().get(name, (name, False))
    if name not in columns():
        place = crc32(name.encode())
        name, turn = SPARE[place % len(SPARE)], turn + 70 + place // len(SPARE) % 61
    kept = whole_numbers()[:draws, columns()[name]]
    numbers = (kept[shuffled()[:draws]] + 0.5) / 2**BITS if apart else (kept + 0.5) / 2**BITS
    return np.asarray(numbers if turn == 0 else (numbers + turn * GOLDEN) % 1.0)
