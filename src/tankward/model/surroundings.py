"""The tank as an organism meets it: warmth, stress and substances at any instant, from the water's record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge import rules

from .events import Timed, in_order
from .lives.tables import Around
from .record import WATER, Record
from .rows import Array
from .standing import Standing

LEAST = 1e-30  # level below which nothing is left; its logarithm is finite
KNOT_C = 0.25  # while the water warms or cools, paces are worked out this far apart and go straight between
JUMP = 1e-3  # of a level's logarithm: a smaller step is none
Whole = NDArray[np.int64]


class Nodes(msgspec.Struct, frozen=True, kw_only=True):
    """Instants as the record and the logbook have them; every array is as long as there are instants."""

    here: Whole  # rows of the record on either side, and how far between them
    there: Whole
    share: Array
    before: Whole  # knots of warmth on either side (`Surroundings.knots`), and how far between them
    after: Whole
    between: Array
    stress: Whole  # which of the distinct rows of stress
    standing: Whole  # which of `Surroundings.standing`


class Surroundings(msgspec.Struct, frozen=True, kw_only=True):
    """A record of the water, to be asked at instants. Minutes from its start."""

    minutes: NDArray[np.int64]
    temp_c: Array  # times × draws
    stress: Array
    logs: dict[str, Array]  # ln of each substance's level
    happening: tuple[Timed, ...]
    standing: tuple[tuple[int, Standing], ...]
    steady: bool  # the warmth never changes
    kept: dict[str, tuple[Whole, ...]] = {}  # what `knots` and `stresses` found

    def knots(self) -> Whole:
        """Rows of the record between which the warmth goes so straight that paces do too."""
        if "knots" not in self.kept:
            self.kept["knots"] = (self._knots(),)
        return self.kept["knots"][0]

    def _knots(self) -> Whole:
        if self.steady:
            return np.zeros(1, dtype=np.int64)
        path = np.abs(np.diff(self.temp_c, axis=0)).max(axis=1)
        level = np.concatenate([[0.0], np.ceil(np.cumsum(path) / KNOT_C)])
        rises = np.diff(level) > 0
        sharp = (np.diff(self.minutes) == 0) & (path > 0)
        kept = np.zeros(len(self.minutes), dtype=bool)
        kept[[0, -1]] = True
        for turn in (rises, sharp, (path > 0) != np.concatenate([[False], path[:-1] > 0])):
            kept[:-1] |= turn
            kept[1:] |= turn
        return np.flatnonzero(kept)

    def stresses(self) -> tuple[Whole, Whole]:
        """Of each row of the record which of the distinct rows of stress it has, and where those stand."""
        if "stresses" not in self.kept:
            self.kept["stresses"] = self._stresses()
        which, first = self.kept["stresses"]
        return which, first

    def _stresses(self) -> tuple[Whole, Whole]:
        seen: dict[bytes, int] = {}
        changes = np.concatenate([[True], (np.diff(self.stress, axis=0) != 0.0).any(axis=1)])
        first: list[int] = []
        which = np.zeros(len(self.minutes), dtype=np.int64)
        for n in np.flatnonzero(changes):
            key = self.stress[n].tobytes()
            if key not in seen:
                seen[key] = len(seen)
                first.append(int(n))
            which[n:] = seen[key]
        return which, np.array(first, dtype=np.int64)

    def nodes(self, minutes: Array, after: NDArray[np.bool_]) -> Nodes:
        """What `around`, `level` and `stands` ask, for many instants at once."""
        last = len(self.minutes) - 1
        right = np.searchsorted(self.minutes, minutes, side="right")
        left = np.searchsorted(self.minutes, minutes, side="left")
        here = np.where(after, np.maximum(right - 1, 0), np.maximum(np.minimum(left, last) - 1, 0))
        there = np.where(after, np.minimum(here + 1, last), np.minimum(left, last))
        here, there, share = self._shared(minutes, after, here, there)
        knots = self.knots()
        at = np.searchsorted(knots, here, side="right") - 1
        to = np.searchsorted(knots, there, side="left")
        before, behind = knots[np.maximum(at, 0)], knots[np.minimum(to, len(knots) - 1)]
        before, behind, between = self._shared(minutes, after, before, behind)
        said = np.array([m for m, _ in self.standing])
        stands = np.where(
            after, np.searchsorted(said, minutes, side="right"), np.searchsorted(said, minutes, side="left")
        )
        return Nodes(
            here=here, there=there, share=share, before=before, after=behind, between=between,
            stress=self.stresses()[0][here], standing=np.maximum(stands - 1, 0),
        )  # fmt: skip

    def _shared(
        self, minutes: Array, after: NDArray[np.bool_], here: Whole, there: Whole
    ) -> tuple[Whole, Whole, Array]:
        """How far between two rows; on one of them it is that row alone."""
        one = np.where(after, here, there)
        wide = self.minutes[there] - self.minutes[here]
        share = np.where(wide > 0, (minutes - self.minutes[here]) / np.maximum(wide, 1), 0.0)
        ends = (wide == 0) | (share <= 0.0)
        here, there = np.where(wide == 0, one, here), np.where(wide == 0, one, there)
        full = ~ends & (share >= 1.0)
        there = np.where(ends, here, there)
        return np.where(full, there, here), there, np.where(ends | full, 0.0, share)

    def jumps(self, substances: Sequence[str]) -> set[int]:
        """Minutes at which the level of one of these changes at once."""
        sharp = np.flatnonzero(np.diff(self.minutes) == 0)
        moved = np.zeros(sharp.size, dtype=bool)
        for one in substances:
            log = self.logs[one]
            moved |= (np.abs(log[sharp + 1] - log[sharp]) > JUMP).any(axis=1)
        return set(self.minutes[sharp[moved]].tolist())

    def around(self, minute: float, *, after: bool) -> Around:
        """Warmth, stress and darkness; at an instant at which something happens, before or after it."""
        here, there, share = self._between(minute, after)
        stands = self.stands(minute, after)
        return Around(
            temp_c=self.temp_c[0] if self.steady else _mix(self.temp_c, here, there, share),
            stress=self.stress[here],
            dark=stands.light_h == 0.0,
        )

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


class Water(msgspec.Struct, frozen=True, kw_only=True):
    """What of the water an organism meets: levels of substances (`units`), of what stresses fish, and the
    warmth; times × draws.
    """

    minutes: Sequence[int]
    levels: Mapping[str, Array]
    units: Mapping[str, str]


def water_of(record: Record) -> Water:
    """Of a record."""
    units = {name: record.units[name] for name in record.names if name not in WATER}
    return Water(minutes=record.minutes, levels=record.arrays, units=units)


def surroundings(
    water: Water, timed: Sequence[Timed], usual: Standing, *, stress: Array, grams_l: Array
) -> Surroundings:
    """What the water says to an organism.

    Parameters
    ----------
    water : Water
        Of a run.
    timed : sequence of Timed
        Acts and events, minutes from where the minutes of the run count from.
    usual : Standing
        How the tank is kept before the first of them.
    stress : array
        Index of a tank in which disease broke out; what the water shows may make it more.
    grams_l : array
        Of fish.
    """
    standing = [(0, usual)]
    happening = tuple(in_order(timed))
    for one in happening:
        after = standing[-1][1].after(one.what, one.minute)
        if after is not standing[-1][1]:
            standing.append((one.minute, after))
    temp = water.levels["temp_c"]
    steady = bool((temp == temp[0]).all())
    shown = _stressed(water, stress, grams_l)
    levels = ((s, water.levels[s].astype(float)) for s in water.units)
    return Surroundings(
        minutes=np.array(water.minutes, dtype=np.int64),
        temp_c=np.broadcast_to(temp[0].astype(float), temp.shape) if steady else temp.astype(float),
        stress=np.broadcast_to(shown, temp.shape),
        logs={s: np.log(np.maximum(level, LEAST)) for s, level in levels},
        happening=happening,
        standing=tuple(standing),
        steady=steady,
        kept={} if shown.ndim > 1 else {"stresses": (np.zeros(len(temp), np.int64), np.zeros(1, np.int64))},
    )


def _stressed(water: Water, stress: Array, grams_l: Array) -> Array:
    """The index never lies under what the water shows; one for each draw where it always is the same."""
    step, nh3, nitrite = rules.figure("stress_step"), water.levels["nh3_n"], water.levels["nitrite_n"]
    shown: Array = (grams_l > rules.figure("stress_crowding")).astype(float)
    ill, bad = nh3 > rules.figure("stress_ammonia"), nitrite > rules.figure("stress_nitrite")
    if ill.any() or bad.any():
        shown = ill.astype(float) + bad + shown
    return np.asarray(np.clip(np.maximum(stress, step * shown), 0.0, 1.0))
