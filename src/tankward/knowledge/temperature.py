"""A number that depends on temperature: rows of the same name and stage, drawn at one centile throughout."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tankward.knowledge import rules
from tankward.knowledge.beliefs import LINEAR, is_share, shape_of, spread, widened
from tankward.knowledge.normal import Array
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.organism import Organism, Parameter

RATE_UNITS = {"1/d", "1/h", "L/(h g)"}
TIME_UNITS = {"h", "d"}


class ByTemperature(Record, frozen=True, kw_only=True):
    """Low and high at each temperature known. Without `temp_c` it does not depend on temperature."""

    name: str
    stage: str
    unit: str
    temp_c: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]

    def beyond(self, temp_c: float) -> bool:
        """True when the temperature lies outside the rows: a caution for the screen."""
        return len(self.temp_c) > 1 and not self.temp_c[0] <= temp_c <= self.temp_c[-1]

    def draw(self, u: Array, temp_c: Array | float, q10: Array | float) -> Array:
        """The value at share u and this temperature.

        Parameters
        ----------
        u : array
            Share of the distribution, the same at every temperature. [-]
        temp_c : number or array
            Water temperature; an array is broadcast against u. [°C]
        q10 : number or array
            Of the organism, for a number known at one temperature only. [-]

        Returns
        -------
        array
            Values. [unit of the row]

        Notes
        -----
        Between rows ln(low) and ln(high) are linear in temperature. Beyond the last row its ends hold, times
        and divided by `widen_beyond` for every `widen_beyond_step`. One row: times q10^((T - T_row)/10) for
        rates, divided by it for times, unchanged for numbers without time in the unit.
        """
        temp = np.asarray(temp_c, dtype=np.float64)
        low, high = self._ends(temp)
        shape = shape_of(min(self.low), max(self.high), self.unit)
        least, most = self._cuts(low, high)
        return np.clip(spread(low, high, shape, u), least, most) * self._by_q10(temp, q10)

    def _cuts(self, low: Array, high: Array) -> tuple[Array | float, Array | float]:
        if is_share(max(self.high), self.unit):
            return 0.0, 1.0
        if self.unit in LINEAR or min(self.low) < 0:
            return -np.inf, np.inf
        factor = rules.figure("cut_factor")
        return low / factor, high * factor

    def _ends(self, temp: Array) -> tuple[Array, Array]:
        if not self.temp_c:
            return np.full(temp.shape, self.low[0]), np.full(temp.shape, self.high[0])
        low, high = _interpolated(temp, self.temp_c, self.low), _interpolated(temp, self.temp_c, self.high)
        if len(self.temp_c) == 1:
            return low, high
        widen = _widening(temp, self.temp_c)
        if is_share(max(self.high), self.unit):
            return _odds_times(low, 1 / widen), _odds_times(high, widen)
        return low / widen, high * widen

    def _by_q10(self, temp: Array, q10: Array | float) -> Array:
        if len(self.temp_c) != 1 or self.unit not in RATE_UNITS | TIME_UNITS:
            return np.ones_like(temp)
        sign = 1.0 if self.unit in RATE_UNITS else -1.0
        return np.asarray(np.power(q10, sign * (temp - self.temp_c[0]) / 10.0))


def _interpolated(temp: Array, at: tuple[float, ...], ends: tuple[float, ...]) -> Array:
    """Linear in the logarithm; linear in the number where an end is not positive."""
    if min(ends) <= 0:
        return np.asarray(np.interp(temp, at, ends))
    return np.asarray(np.exp(np.interp(temp, at, np.log(ends))))


def _widening(temp: Array, at: tuple[float, ...]) -> Array:
    outside = np.maximum(np.maximum(at[0] - temp, temp - at[-1]), 0.0)
    return np.asarray(rules.figure("widen_beyond") ** (outside / rules.figure("widen_beyond_step")))


def _odds_times(share: Array, factor: Array) -> Array:
    """A share whose odds are multiplied: it stays a share."""
    return np.asarray(share * factor / (1.0 - share + share * factor))


Key = tuple[str, str, str]  # name, stage, sign


_gathered: dict[int, tuple[Organism, Mapping[Key, ByTemperature]]] = {}  # by which organism it is


def parameters(organism: Organism) -> Mapping[Key, ByTemperature]:
    """Every number of an organism that is drawn, by name, stage and sign; one uniform number for each."""
    known = _gathered.get(id(organism))
    if known is None or known[0] is not organism:
        known = _gathered[id(organism)] = organism, _parameters(organism)
    return known[1]


def _parameters(organism: Organism) -> dict[Key, ByTemperature]:
    rows: dict[Key, list[Parameter]] = {}
    for row in organism.parameter:
        if row.use:
            rows.setdefault((row.name, row.stage, row.sign), []).append(row)
    return {key: _of_rows(key, found) for key, found in rows.items()}


def _of_rows(key: Key, rows: list[Parameter]) -> ByTemperature:
    rows = sorted(rows, key=lambda r: r.temp_c or 0.0)
    ends = [widened(r.low, r.high, r.status) for r in rows]
    return ByTemperature(
        name=key[0],
        stage=key[1],
        unit=rows[0].unit,
        temp_c=tuple(r.temp_c for r in rows if r.temp_c is not None),
        low=tuple(low for low, _ in ends),
        high=tuple(high for _, high in ends),
    )
