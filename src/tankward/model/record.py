"""What a run gave: levels from amounts, for each draw at each recorded time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.quantities.faults import BadInput
from tankward.water.ammonia import pka_formula

from . import between
from .known import SubstanceRows
from .oracle import Run, Trace
from .processes.carbonate import LEAST_ALKALINITY_MG_L, LEAST_CO2_MG_L, acid_of, first_of, second_of
from .rows import ALL, Array, Rows

WATER = {
    "ammonia_n": "mg/L",
    "nh3_n": "mg/L",
    "nitrite_n": "mg/L",
    "nitrate_n": "mg/L",
    "oxygen": "mg/L",
    "temp_c": "C",
    "ph": "pH",  # with alkalinity, only where both were read
    "alkalinity": "mg/L",  # as CaCO3
}
HARMS_BY_LACK = frozenset({"oxygen", "ph", "alkalinity"})  # the least of it is told, not the most
FIELDS = {"ammonia_n": "tan_mg", "nitrite_n": "nitrite_mg", "nitrate_n": "nitrate_mg", "oxygen": "oxygen_mg"}


class Record(msgspec.Struct, frozen=True):
    """What a run gave: for each name an array times × draws; where something happened a time stands twice."""

    start: datetime
    minutes: tuple[int, ...]
    units: dict[str, str]
    arrays: dict[str, Array]
    weights: Array
    ph: Array  # as it was told, one for each draw
    lowest: dict[str, float]
    guild_mg_h: Array | None = None  # what the first guild could turn over: times × draws
    in_fish: dict[str, Array] = {}  # substances from food, mg/kg: times × draws
    left: Array | None = None  # water there is, against the full tank: times × draws; None: all of it
    breaks: frozenset[int] = frozenset()  # minutes at which something happened or was set otherwise

    @property
    def times_h(self) -> tuple[float, ...]:
        """Hours from the start."""
        return tuple(minute / 60.0 for minute in self.minutes)

    @property
    def names(self) -> tuple[str, ...]:
        """What was recorded: substances by id, then the water."""
        return tuple(self.arrays)

    def row_of(self, at: datetime) -> int:
        """The last row up to an instant: after what happens then."""
        minute = round((at - self.start) / timedelta(minutes=1))
        return max(n for n, m in enumerate(self.minutes) if m <= max(minute, 0))

    def levels(self, name: str) -> Array:
        """times × draws of one name.

        Raises
        ------
        BadInput
            If nothing of that name was recorded.
        """
        if name not in self.arrays:
            raise BadInput("name", name, f"is not in this forecast. It holds {', '.join(self.arrays)}.")
        return self.arrays[name]

    def highest(self, name: str, rows: Rows = ALL) -> Array:
        """The most that each draw reaches, between records too."""
        return between.highest(*self._line(name, rows))

    def least(self, name: str, rows: Rows = ALL) -> Array:
        """The least that each draw falls to, between records too."""
        return between.lowest(*self._line(name, rows))

    def ends(self) -> tuple[dict[str, Array], dict[str, Array]]:
        """Of every name the most and the least that each draw reaches, between records too."""
        minutes, corners = self._minutes(ALL)
        stack = np.concatenate(list(self.arrays.values()), axis=1)
        most, least = (
            dict(zip(self.arrays, np.split(found, len(self.arrays)), strict=True))
            for found in between.both(minutes, stack, corners)
        )
        return most, least

    def _minutes(self, rows: Rows) -> tuple[Array, between.Flags]:
        minutes = np.array(self.minutes, dtype=float)[rows]
        breaks = np.array(sorted(self.breaks), dtype=float)
        at = np.minimum(np.searchsorted(breaks, minutes), max(breaks.size - 1, 0))
        return minutes, breaks[at] == minutes if breaks.size else np.zeros(minutes.size, dtype=bool)

    def _line(self, name: str, rows: Rows) -> tuple[Array, Array, between.Flags]:
        minutes, corners = self._minutes(rows)
        return minutes, self.levels(name)[rows], corners


def recorded(run: Run, traced: Trace, rows: Sequence[SubstanceRows], start: datetime) -> Record:
    """Levels from amounts."""
    arrays: dict[str, Array] = {}
    units: dict[str, str] = {}
    left = None if run.line is None else run.line.shares(traced.minutes)
    per_l = run.th.per_l if left is None else run.th.per_l / left
    for n, row in enumerate(rows):
        arrays[row.id], units[row.id] = traced.amounts[:, n] * per_l, row.unit
    for name, field in FIELDS.items():
        arrays[name] = traced.fields[field] * per_l
    acid, moved = 10.0**-run.th.ph, changes(traced.temp_c)
    if run.th.carbonate_read.any():
        arrays["alkalinity"] = traced.fields["alkalinity_mg"] * per_l
        acid = running_acid(traced.fields["co2_mg"] * per_l, arrays["alkalinity"], traced.temp_c, moved)
        arrays["ph"] = -np.log10(acid)
    ammonium = once(ammonium_of, traced.temp_c, moved)
    arrays["nh3_n"] = arrays["ammonia_n"] * (ammonium / (ammonium + acid))
    arrays["temp_c"] = traced.temp_c
    units |= WATER
    order = (*(r.id for r in rows), *(name for name in WATER if name in arrays))
    return Record(
        start=start,
        minutes=traced.minutes,
        units=units,
        arrays={name: arrays[name].astype(np.float32) for name in order},
        weights=np.full(run.draws, 1.0 / run.draws),
        ph=run.th.ph,
        lowest=traced.lowest,
        guild_mg_h=traced.fields["first_guild_mg_h"].astype(np.float32),
        left=left,
        breaks=frozenset(run.table.breaks),
    )


def running_ph(co2_mg_l: Array, alkalinity_mg_l: Array, temp_c: Array) -> Array:
    """pH of carbon dioxide and alkalinity, as the processes take it. [-]"""
    return np.asarray(-np.log10(running_acid(co2_mg_l, alkalinity_mg_l, temp_c, changes(temp_c))))


def running_acid(co2_mg_l: Array, alkalinity_mg_l: Array, temp_c: Array, moved: between.Flags) -> Array:
    """The same without the logarithm. [mol/L]"""
    co2 = np.maximum(co2_mg_l, LEAST_CO2_MG_L)
    alkalinity = np.maximum(alkalinity_mg_l, LEAST_ALKALINITY_MG_L)
    first, second = once(first_of, temp_c, moved), once(second_of, temp_c, moved)
    return np.asarray(acid_of(first * (co2 / alkalinity), second))


def changes(temp_c: Array) -> between.Flags:
    """Rows at which the warmth (times × draws) is another than before; it mostly is the same."""
    return np.concatenate(([True], (temp_c[1:] != temp_c[:-1]).any(axis=1)))


def once(formula: Callable[[Array], Array], temp_c: Array, moved: between.Flags) -> Array:
    """A formula of the warmth, asked only where that changes."""
    if not moved[1:].any():
        return np.asarray(formula(temp_c[:1]))
    return np.asarray(formula(temp_c[moved])[np.cumsum(moved) - 1])


def ammonium_of(temp_c: Array) -> Array:
    """Acid constant of ammonium. [mol/L]"""
    return np.asarray(10.0 ** -pka_formula(temp_c))
