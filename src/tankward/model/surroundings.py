"""The tank as an organism meets it: warmth, stress and substances at any instant, from the water's record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge import rules

from .events import Timed, in_order
from .lives.tables import Around
from .record import Record
from .rows import Array
from .standing import Standing

LEAST = 1e-30  # level below which nothing is left; its logarithm is finite


class Surroundings(msgspec.Struct, frozen=True, kw_only=True):
    """A record of the water, to be asked at instants. Minutes from its start."""

    minutes: NDArray[np.int64]
    temp_c: Array  # times × draws
    stress: Array
    logs: dict[str, Array]  # ln of each substance's level
    happening: tuple[Timed, ...]
    standing: tuple[tuple[int, Standing], ...]
    steady: bool  # the warmth never changes

    def around(self, minute: float, *, after: bool) -> Around:
        """Warmth, stress and darkness; at an instant at which something happens, before or after it."""
        here, there, share = self._between(minute, after)
        stands = self.stands(minute, after)
        return Around(
            temp_c=self.temp_c[0] if self.steady else _mix(self.temp_c, here, there, share),
            stress=self.stress[here],
            dark=stands.light_h == 0.0,
        )

    def key(self, minute: float, *, after: bool) -> tuple[object, ...]:
        """Two instants of one key have the same pace."""
        here, there, share = self._between(minute, after)
        warmth = 0 if self.steady else (here, there, share)
        return (warmth, self.stress[here].tobytes(), self.stands(minute, after).light_h == 0.0)

    def level(self, substance: str, minute: float, *, after: bool) -> Array:
        """Level of a substance: it fades exponentially between recorded instants."""
        here, there, share = self._between(minute, after)
        level = np.exp(_mix(self.logs[substance], here, there, share))
        return np.where(level <= LEAST * 1.01, 0.0, level)

    def stands(self, minute: float, after: bool = True) -> Standing:
        """How the tank is kept then."""
        at = [s for m, s in self.standing if m < minute or (after and m == minute)]
        return at[-1] if at else self.standing[0][1]

    def _between(self, minute: float, after: bool) -> tuple[int, int, float]:
        place = int(np.searchsorted(self.minutes, minute, side="right" if after else "left"))
        if after:
            here = max(place - 1, 0)
            there = min(here + 1, len(self.minutes) - 1)
        else:
            there = min(place, len(self.minutes) - 1)
            here = max(there - 1, 0)
        if self.minutes[there] == self.minutes[here]:
            return (here, here, 0.0) if after else (there, there, 0.0)
        share = float(minute - self.minutes[here]) / float(self.minutes[there] - self.minutes[here])
        return (here, there, share) if share < 1.0 else (there, there, 0.0)


def _mix(rows: Array, here: int, there: int, share: float) -> Array:
    return rows[here] if share == 0.0 else np.asarray(rows[here] + share * (rows[there] - rows[here]))


def surroundings(
    record: Record,
    timed: Sequence[Timed],
    usual: Standing,
    *,
    stress: Array,
    grams_l: Array,
    units: Mapping[str, str] | None = None,
) -> Surroundings:
    """What a record says to an organism.

    Parameters
    ----------
    record : Record
        Of the water.
    timed : sequence of Timed
        Acts and events, minutes from the record's start.
    usual : Standing
        How the tank is kept before the first of them.
    stress : array
        Index of a tank in which disease broke out; what the water shows may make it more.
    grams_l : array
        Of fish.
    units : mapping, optional
        Substances to follow, with the unit of their level; none: only the water.
    """
    temp = record.levels("temp_c").astype(float)
    standing = [(0, usual)]
    happening = tuple(in_order(timed))
    for one in happening:
        after = standing[-1][1].after(one.what, one.minute)
        if after is not standing[-1][1]:
            standing.append((one.minute, after))
    levels = {s: record.levels(s).astype(float) for s in units or {}}
    return Surroundings(
        minutes=np.array(record.minutes, dtype=np.int64),
        temp_c=temp,
        stress=_stressed(record, stress, grams_l),
        logs={s: np.log(np.maximum(level, LEAST)) for s, level in levels.items()},
        happening=happening,
        standing=tuple(standing),
        steady=bool((temp == temp[0]).all()),
    )


def _stressed(record: Record, stress: Array, grams_l: Array) -> Array:
    """The index never lies under what the water itself shows."""
    step = rules.figure("stress_step")
    shown = step * (
        (record.levels("nh3_n") > rules.figure("stress_ammonia")).astype(float)
        + (record.levels("nitrite_n") > rules.figure("stress_nitrite"))
        + (grams_l > rules.figure("stress_crowding"))
    )
    return np.asarray(np.clip(np.maximum(stress, shown), 0.0, 1.0))
