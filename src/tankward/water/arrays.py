"""What every function here takes and gives, and the range in which a formula holds."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from tankward.quantities.faults import OutOfRange

Array: TypeAlias = float | NDArray[np.float64]
ZERO_C_IN_K = 273.15


def require(value: Array, *, between: tuple[float, float], name: str, unit: str = "") -> None:
    """Refuse numbers outside the range in which a published formula was fitted.

    Raises
    ------
    OutOfRange
        Naming the first value that lies outside.
    """
    low, high = between
    flat = np.ravel(np.asarray(value, dtype=float))
    outside = flat[~((flat >= low) & (flat <= high))]
    if outside.size:
        span = f"{low:g} to {high:g} {unit}".strip()
        raise OutOfRange(
            name,
            f"{outside[0]:g} {unit}".strip(),
            f"lies outside {span}, where the formula holds.",
        )


def kelvin(temp_c: Array) -> Array:
    return temp_c + ZERO_C_IN_K
