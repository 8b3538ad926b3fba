"""What a run gave: levels from amounts, for each draw at each recorded time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec
import numpy as np

from tankward.quantities.faults import BadInput
from tankward.water.ammonia import unionised_share_formula

from .known import SubstanceRows
from .oracle import Run, Trace
from .rows import Array

WATER = {
    "ammonia_n": "mg/L",
    "nh3_n": "mg/L",
    "nitrite_n": "mg/L",
    "nitrate_n": "mg/L",
    "oxygen": "mg/L",
    "temp_c": "C",
}
FIELDS = {"ammonia_n": "tan_mg", "nitrite_n": "nitrite_mg", "nitrate_n": "nitrate_mg", "oxygen": "oxygen_mg"}


class Record(msgspec.Struct, frozen=True):
    """What a run gave: for each name an array times × draws; where something happened a time stands twice."""

    start: datetime
    minutes: tuple[int, ...]
    units: dict[str, str]
    arrays: dict[str, Array]
    weights: Array
    ph: Array  # kept as it was told, one for each draw
    lowest: dict[str, float]

    @property
    def times_h(self) -> tuple[float, ...]:
        """Hours from the start."""
        return tuple(minute / 60.0 for minute in self.minutes)

    @property
    def names(self) -> tuple[str, ...]:
        """What was recorded: substances by id, then the water."""
        return tuple(self.arrays)

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


def recorded(run: Run, traced: Trace, rows: Sequence[SubstanceRows], start: datetime) -> Record:
    """Levels from amounts."""
    arrays: dict[str, Array] = {}
    units: dict[str, str] = {}
    for n, row in enumerate(rows):
        arrays[row.id], units[row.id] = traced.amounts[:, n] * run.th.per_l, row.unit
    for name, field in FIELDS.items():
        arrays[name] = traced.fields[field] * run.th.per_l
    arrays["nh3_n"] = arrays["ammonia_n"] * unionised_share_formula(run.th.ph, traced.temp_c)
    arrays["temp_c"] = traced.temp_c
    units |= WATER
    order = (*(r.id for r in rows), *WATER)
    return Record(
        start=start,
        minutes=traced.minutes,
        units=units,
        arrays={name: arrays[name].astype(np.float32) for name in order},
        weights=np.full(run.draws, 1.0 / run.draws),
        ph=run.th.ph,
        lowest=traced.lowest,
    )
