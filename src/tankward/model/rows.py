"""What the bodies of processes are given: records of named rows, and which draws."""

from __future__ import annotations

from collections.abc import Iterable
from types import SimpleNamespace
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Rows: TypeAlias = Any  # state, rates, pace, environment, parameters: names decided by the list of processes
At: TypeAlias = Any  # one draw, or slice(None) for all

ALL = slice(None)


def rows_of(names: Iterable[str], *draws: int) -> tuple[Array, Rows]:
    """One block of memory, and the same block as rows by name."""
    kept = tuple(names)
    block = np.zeros((len(kept), *draws))
    return block, SimpleNamespace(**{name: block[row] for row, name in enumerate(kept)})
