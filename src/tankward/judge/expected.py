"""How many would be counted if it is helping, and if it is not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

import msgspec
import numpy as np

from tankward.model.both_ways import BothWays, looked_like
from tankward.model.counts import OnFish, Told
from tankward.model.drifting import Drifting
from tankward.model.rows import Array

from .hypotheses import Chances

ENDS = (0.05, 0.95)
FIVE = (0.05, 0.25, 0.5, 0.75, 0.95)


class Between(msgspec.Struct, frozen=True, kw_only=True):
    """So many would be counted nine times in ten."""

    low: int
    high: int


class Expected(msgspec.Struct, frozen=True, kw_only=True):
    """One look, as it was expected before the course began: how many of `of` would show the sign.

    `single`: parasites counted on `of` fish. `seen`: what it showed, at least and at most; None: not counted.
    """

    at: datetime
    sign: str
    of: int
    single: bool
    if_helping: Between
    if_too_little: Between
    if_other: Between
    seen: tuple[int, int] | None = None


class DayBand(msgspec.Struct, frozen=True, kw_only=True):
    """Counts of a day: 5, 25, 50, 75 and 95 of a hundred lie under these, if it is helping and if not."""

    at: datetime
    if_helping: tuple[float, ...]
    if_too_little: tuple[float, ...]


class Teller:
    """One sign, as it would be counted each way."""

    def __init__(
        self, both: BothWays, early: Drifting, drift: Drifting, last: Told | None, sign: str
    ) -> None:
        self.both, self.early, self.drift, self.last, self.sign = both, early, drift, last, sign

    def look(self, at: datetime, of: int) -> Told:
        """A look at that time, at so many."""
        return looked_like(at, self.last, self.sign, of)

    def outcomes(self, like: Told) -> tuple[Array, ...]:
        """Counts × draws (or cells): the chance of each count under each, in the order of `NAMES`."""
        bites, idle = (self.both.outcomes(w, like) for w in (self.both.bites, self.both.idle))
        weak = self.both.outcomes(self.both.weak, like) if self.both.weak else idle
        return bites, weak, idle, self.drift.outcomes(like)

    def weights(self, *, early: bool) -> tuple[Array, ...]:
        """Of the draws and cells of each: by what was told before the course, or by all."""
        ways = (self.both.bites, self.both.weak or self.both.idle, self.both.idle)
        told = tuple(w.before if early else w.weights for w in ways)
        return *told, (self.early if early else self.drift).weights

    def before(self, like: Told) -> tuple[Array, ...]:
        """The chance of each count under each, by what was told before the course alone."""
        each = zip(self.outcomes(like), self.weights(early=True), strict=True)
        return tuple(np.asarray(one @ weights) for one, weights in each)

    def too_little(self, each: Sequence[Array], now: Chances) -> Array:
        """Weak and idle together."""
        whole = now.too_little
        return np.asarray((now.weak * each[1] + now.idle * each[2]) / whole) if whole > 0 else each[2]


def expected(teller: Teller, at: datetime, of: int, prior: Chances, seen: Told | None) -> Expected:
    """What a look at that time was going to show, by what was told before the course alone."""
    like = teller.look(at, of)
    each = teller.before(like)
    return Expected(
        at=at, sign=like.sign, of=of, single=isinstance(like, OnFish),
        if_helping=between(each[0]), if_too_little=between(teller.too_little(each, prior)),
        if_other=between(each[3]),
        seen=None if seen is None else (seen.low, getattr(seen, "high", seen.low)),
    )  # fmt: skip


def between(chances: Array) -> Between:
    """Nine in ten of the counts."""
    low, high = (int(np.searchsorted(np.cumsum(chances), end - 1e-9)) for end in ENDS)
    return Between(low=low, high=min(high, len(chances) - 1))


def bands(teller: Teller, times: Iterable[datetime], of: int, prior: Chances) -> tuple[DayBand, ...]:
    """The same over days, for a picture."""
    rows = []
    for at in times:
        each = teller.before(teller.look(at, of))
        both = (each[0], teller.too_little(each, prior))
        helping, not_ = (tuple(_smooth(c, end) for end in FIVE) for c in both)
        rows.append(DayBand(at=at, if_helping=helping, if_too_little=not_))
    return tuple(rows)


def _smooth(chances: Array, end: float) -> float:
    """A centile of counts with straight lines between, so that a band does not jump."""
    sums = np.concatenate([[0.0], np.cumsum(chances)])
    edges = np.clip(np.arange(len(sums)) - 0.5, 0.0, len(chances) - 1.0)
    return float(np.interp(end, sums, edges))
