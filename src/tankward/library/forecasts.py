"""A forecast as arrays and as columns that any data frame takes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts
from tankward.model.falling import Fall, falls, levels_of
from tankward.model.result import Forecast, Series
from tankward.quantities.faults import BadInput

Floats = NDArray[np.float64]
Columns = dict[str, NDArray[np.generic]]
BANDS = {"low": "low", "q25": "q25", "value": "value", "q75": "q75", "high": "high"}


class TankForecast:
    """What comes in one tank. Quantities are named as in the JSON of `tankward forecast`."""

    def __init__(self, found: Forecast, name: str, facts: Facts) -> None:
        self._found, self._facts = found, facts
        self.tank, self.name, self.now = found.tank, name, found.now

    def __repr__(self) -> str:
        ahead = (self._found.times_h[-1] - self._found.now_h) / 24.0
        return f"<forecast of {self.name} from {self.now:%Y-%m-%d %H:%M}, {ahead:g} days ahead>"

    @property
    def hours(self) -> Floats:
        """Hours from now, the week before included; where something happens an hour stands twice. [h]"""
        return np.array(self._found.times_h) - self._found.now_h

    @property
    def times(self) -> NDArray[np.datetime64]:
        """The same as instants in UTC."""
        start = np.datetime64(round(self._found.start.timestamp() * 1000), "ms")
        hours = np.array(self._found.times_h) * 3_600_000.0
        return np.asarray(start + np.round(hours).astype("timedelta64[ms]"))

    @property
    def weights(self) -> Floats:
        """How much each draw counts by what was read and seen; they add up to 1."""
        return np.array(self._found.weights / self._found.weights.sum())

    @property
    def quantities(self) -> list[tuple[str, str, str]]:
        """Name, place and unit of every line."""
        return [(s.name, s.where, s.unit) for s in self._every()]

    @property
    def cautions(self) -> list[str]:
        """The kinds of what is not known."""
        return [c.kind for c in self._found.cautions]

    def draws(self, name: str, where: str = "water") -> Floats:
        """Every draw of a substance or a value of the water: draws × times; of an organism bands alone stay.

        Raises
        ------
        BadInput
            If nothing of that name is there.
        """
        return np.array(levels_of(self._found, name, where).T, dtype=np.float64)

    def bands(self, name: str, where: str = "") -> dict[str, Floats]:
        """Weighted centiles over the times: low 5, q25, value 50, q75, high 95 %; NaN before it is followed.

        Parameters
        ----------
        name : str
            Of a line in `quantities`.
        where : str
            Its place, where several lines have that name.
        """
        one = self._line(name, where)
        return {band: np.array(getattr(one, field)) for band, field in BANDS.items()}

    def chance(
        self,
        name: str,
        *,
        above: float | None = None,
        below: float | None = None,
        hours: tuple[float, float] | None = None,
    ) -> float:
        """Chance that a level is passed at any time from now on, or between two hours from now."""
        return self._found.chance(name, above=above, below=below, between=hours)

    def falls_under(self, name: str, level: float, where: str = "water") -> Fall:
        """When a level falls under a line, for the first time and for good. [h]"""
        return falls(self._found, name, level, where=where)

    def table(self) -> Columns:
        """Every line with its bands, one row for each time and line."""
        lines = list(self._every())
        n = len(self._found.times_h)
        found: Columns = {
            "time": np.tile(self.times, len(lines)),
            "hours": np.tile(self.hours, len(lines)),
            "name": np.repeat([s.name for s in lines], n),
            "where": np.repeat([s.where for s in lines], n),
            "unit": np.repeat([s.unit for s in lines], n),
        }
        return found | {
            band: np.concatenate([np.array(getattr(s, field)) for s in lines])
            for band, field in BANDS.items()
        }

    def gone(self) -> Columns:
        """How likely each followed organism is gone by each day, and for what that chance is good."""
        rows = [(o, c) for o in self._found.outlooks for c in o.chances]
        return {
            "organism": np.array([o.organism for o, _ in rows], dtype=np.str_),
            "cause": np.array([o.cause for o, _ in rows], dtype=np.str_),
            "days": np.array([c.days for _, c in rows], dtype=np.float64),
            "low": np.array([c.low for _, c in rows], dtype=np.float64),
            "value": np.array([c.value for _, c in rows], dtype=np.float64),
            "high": np.array([c.high for _, c in rows], dtype=np.float64),
            "holds": np.array([o.holds for o, _ in rows], dtype=np.str_),
        }

    def _every(self) -> Iterator[Series]:
        yield from self._found.series
        for o in self._found.outlooks:
            yield from o.series

    def _line(self, name: str, where: str) -> Series:
        found = [s for s in self._every() if s.name == name and where in ("", s.where)]
        if len(found) == 1:
            return found[0]
        if not found:
            known = ", ".join(dict.fromkeys(s.name for s in self._every()))
            raise BadInput("name", name, f"is not here. This forecast holds {known}.")
        places = ", ".join(s.where for s in found)
        raise BadInput("where", where, f"is missing: {name} is followed in {places}.")
