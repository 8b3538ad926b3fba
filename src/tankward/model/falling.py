"""When a level falls under a line: for each draw, then as a range over the draws."""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.quantities.faults import BadInput

from .bands import chance
from .result import Forecast
from .rows import Array

ENDS = (0.05, 0.5, 0.95)


class When(msgspec.Struct, frozen=True, kw_only=True):
    """Hours from now, 5th, 50th and 95th centile of the draws; None: not before the forecast ends."""

    low: float | None
    value: float | None
    high: float | None


class Fall(msgspec.Struct, frozen=True, kw_only=True):
    """How a level stands to a line. `over_now`, `over_at_end`: the chance that it is not under it then.

    `first`: under it for the first time; `last`: from then on under it to the end of the forecast, whatever
    is given in between.
    """

    line: float
    over_now: float
    over_at_end: float
    first: When
    last: When


def row_now(found: Forecast) -> int:
    """The last row that is not after now: what happens now has happened."""
    return max(int(np.searchsorted(found.times_h, found.now_h + 1e-9)) - 1, 0)


def levels_of(found: Forecast, name: str, where: str = "water") -> Array:
    """times × draws of a substance in the water or in the fish, or of a value of the water.

    Raises
    ------
    BadInput
        If the forecast holds nothing of that name there.
    """
    if where != "fish":
        return found.record.levels(name)
    if name not in found.record.in_fish:
        raise BadInput("name", name, "is not followed in the fish.")
    return found.record.in_fish[name]


def falls(found: Forecast, name: str, line: float, *, where: str = "water") -> Fall:
    """When a level falls under a line.

    Parameters
    ----------
    found : Forecast
        Of a tank.
    name : str
        A substance, or a value of the water.
    line : float
        In the unit of its series.
    where : str
        "water" or "fish".
    """
    times = np.array(found.times_h) - found.now_h
    ahead = times >= -1e-9
    over, hours = levels_of(found, name, where)[ahead] >= line, times[ahead]
    first = np.where(over.all(axis=0), np.inf, hours[np.argmin(over, axis=0)])
    back = np.argmax(over[::-1], axis=0)  # rows from the end to the last that is over
    after = np.minimum(len(hours) - back, len(hours) - 1)
    last = np.where(over[-1], np.inf, np.where(over.any(axis=0), hours[after], 0.0))
    return Fall(
        line=line,
        over_now=chance(over[0], found.weights),
        over_at_end=chance(over[-1], found.weights),
        first=_when(first, found.weights),
        last=_when(last, found.weights),
    )


def _when(hours: Array, weights: Array) -> When:
    """Centiles without lines between the draws: some may never come."""
    order = np.argsort(hours, kind="stable")
    reached = np.cumsum(weights[order]) / weights.sum()
    at = [order[min(int(np.searchsorted(reached, end)), len(order) - 1)] for end in ENDS]
    low, value, high = (float(hours[n]) if np.isfinite(hours[n]) else None for n in at)
    return When(low=low, value=value, high=high)
