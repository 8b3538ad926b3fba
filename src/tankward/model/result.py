"""A forecast as what asks for it sees it: series with bands, extremes, chances, what is not known."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate

from . import bands
from .cautions import Caution
from .clearance import Holds
from .learned import Explained
from .own_numbers import OwnNumber
from .record import Record
from .rows import Array

Kind = Literal["substance", "water", "organism", "in_fish"]


class Series(msgspec.Struct, frozen=True, kw_only=True):
    """One line of the chart with its bands: 5, 25, 50, 75 and 95 % of the weighted draws at each time."""

    name: str
    where: str
    unit: str
    kind: Kind
    low: tuple[float, ...]
    q25: tuple[float, ...]
    value: tuple[float, ...]
    q75: tuple[float, ...]
    high: tuple[float, ...]


class GoneBy(msgspec.Struct, frozen=True, kw_only=True):
    """The chance that nothing of an organism is left by an instant: over the draws, and their 5th and 95th
    centile. `days` from now.
    """

    by: datetime
    days: float
    low: float
    value: float
    high: float


class Counted(msgspec.Struct, frozen=True, kw_only=True):
    """What a look that counted fish with a sign says of one fish; hours from the forecast's start."""

    at_h: float
    low: float
    value: float
    high: float


class Taught(msgspec.Struct, frozen=True, kw_only=True):
    """What the looks changed: the same draws without them and with them.

    `growth`: of what is carried, from the first look to now. [ln/d] `slower`: chance that it grows more
    slowly than half of such outbreaks do. `gone_before`: as `chances`, without the looks. `power`: the counts
    count with this power, 1: in full. `explained`: each look and the deaths.
    """

    growth_before: Estimate
    growth: Estimate
    slower: float
    gone_before: tuple[GoneBy, ...]
    draws: int
    effective_draws: float
    power: float
    fits: bool
    explained: tuple[Explained, ...]


class Outlook(msgspec.Struct, frozen=True, kw_only=True):
    """One organism that is suspected, as if it were the one.

    Its series stand on the forecast's times, and are NaN before `since_h`, from which it is followed.
    `counted`: it begins with what was counted, else with what is usual when a keeper first sees it. `holds`:
    for what its chances are good. `withheld`: substances in the water whose effect nobody can put into
    numbers; there are no chances then. `silent`: substances, each with the stages on which nothing is known
    of them (there they count for nothing). `acts`: substances that kill some of it. `looks`: what was
    counted, on or in one fish, as its series there. `weights`: of its draws, those of the water times what
    the looks make of them; `taught`: what they changed, None without one.
    """

    organism: str
    cause: str
    likely: float | None
    since_h: float
    counted: bool
    series: tuple[Series, ...]
    chances: tuple[GoneBy, ...]
    holds: Holds
    withheld: tuple[str, ...] = ()
    silent: dict[str, tuple[str, ...]] = {}
    acts: tuple[str, ...] = ()
    looks: tuple[Counted, ...] = ()
    weights: Array | None = None
    taught: Taught | None = None


class Extreme(msgspec.Struct, frozen=True, kw_only=True):
    """The highest or lowest that is to come, with its range over the draws; `at_h` from now."""

    name: str
    kind: Literal["peak", "least"]
    low: float
    value: float
    high: float
    at_h: float
    unit: str


class Forecast(msgspec.Struct, frozen=True, kw_only=True):
    """What came and what comes. Times are hours from `start`; where something happens, a time stands
    twice.
    """

    tank: str
    start: datetime
    now: datetime
    times_h: tuple[float, ...]
    now_h: float
    series: tuple[Series, ...]
    extremes: tuple[Extreme, ...]
    cautions: tuple[Caution, ...]
    weights: Array
    fits: bool
    effective_draws: float
    record: Record
    outlooks: tuple[Outlook, ...] = ()
    own: tuple[OwnNumber, ...] = ()  # what the readings and the animals tell of the tank itself

    def of(self, name: str) -> Series:
        """The series of that name.

        Raises
        ------
        BadInput
            If the forecast does not hold it.
        """
        for one in self.series:
            if one.name == name:
                return one
        raise BadInput(
            "name", name, f"is not here. This forecast holds {', '.join(s.name for s in self.series)}."
        )

    def at(self, name: str, hours_from_now: float) -> Estimate:
        """The level at an instant: after what happens then."""
        self.of(name)
        row = int(np.searchsorted(self.times_h, self.now_h + hours_from_now + 1e-9)) - 1
        return bands.band(self.record.levels(name)[max(row, 0)], self.weights)

    def chance(
        self,
        name: str,
        *,
        above: float | None = None,
        below: float | None = None,
        between: tuple[float, float] | None = None,
    ) -> float:
        """Chance that a level is reached at any time in a span.

        Parameters
        ----------
        name : str
            A substance or a value of the water.
        above, below : float
            One of the two. [unit of the series]
        between : pair, optional
            Hours from now; None: from now to the end.

        Returns
        -------
        float
            Share of the weighted draws, 0 to 1.
        """
        self.of(name)
        rows = self._rows(between)
        if (above is None) == (below is None):
            raise BadInput("level", "both or neither", "is given. Write either above or below.")
        if below is not None:
            return bands.chance(np.asarray(self.record.least(name, rows) < below), self.weights)
        assert above is not None
        return bands.chance(np.asarray(self.record.highest(name, rows) > above), self.weights)

    def peak(self, name: str) -> Extreme:
        """The highest from now on."""
        return self._extreme(name, "peak")

    def least(self, name: str) -> Extreme:
        """The lowest from now on."""
        return self._extreme(name, "least")

    def _rows(self, between: tuple[float, float] | None) -> NDArray[np.intp]:
        times = np.array(self.times_h) - self.now_h
        first, last = between or (0.0, float(times[-1]))
        return np.flatnonzero((times >= first - 1e-9) & (times <= last + 1e-9))

    def _extreme(self, name: str, kind: Literal["peak", "least"]) -> Extreme:
        one, rows = self.of(name), self._rows(None)
        reached = self.record.highest(name, rows) if kind == "peak" else self.record.least(name, rows)
        found = bands.band(reached, self.weights)
        line = np.array(one.value)[rows]
        row = int(line.argmax() if kind == "peak" else line.argmin())
        return Extreme(
            name=name,
            kind=kind,
            low=found.low,
            value=found.value,
            high=found.high,
            at_h=float(self.times_h[rows[row]] - self.now_h),
            unit=one.unit,
        )


def as_data(found: Forecast, chances: Sequence[tuple[str, str, float]] = ()) -> dict[str, object]:
    """The forecast for JSON; `chances`: (name, "above" or "below", level) to be worked out."""
    asked = [_asked(found, *one) for one in chances]
    return {
        "tank": found.tank,
        "start": found.start.isoformat(),
        "now": found.now.isoformat(),
        "now_h": found.now_h,
        "times_h": list(found.times_h),
        "series": [msgspec.to_builtins(one) for one in found.series],
        "extremes": [msgspec.to_builtins(one) for one in found.extremes],
        "chances": asked,
        "fits": found.fits,
        "effective_draws": found.effective_draws,
        "cautions": [msgspec.to_builtins(one) for one in found.cautions],
        "own": [msgspec.to_builtins(one) for one in found.own],
    }


def _asked(found: Forecast, name: str, side: str, level: float) -> dict[str, object]:
    above, below = (level, None) if side == "above" else (None, level)
    return {"name": name, side: level, "chance": found.chance(name, above=above, below=below)}
