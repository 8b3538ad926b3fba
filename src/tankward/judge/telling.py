"""From which day on will looks tell? Looks to come are invented from what is believed now, and judged."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.model.rows import Array

from .expected import Teller
from .hypotheses import TOLD_APART, Chances

FUTURES = 128  # invented for each of what may be so
SEED = 20260501
EVERY = timedelta(days=2)  # looks to come are so far apart [our own choice]
MANY = 30  # fish: more are looked at only where all are
SOONER = timedelta(days=1)


class Telling(msgspec.Struct, frozen=True, kw_only=True):
    """Looks at `of`, every second day from `first` on: by `on` they point so often to what is so, if it is
    helping and if it is not.
    """

    first: datetime
    on: datetime
    of: int
    looks: int
    if_helping: float
    if_not: float


def tellings(
    teller: Teller, first: datetime, until: datetime, numbers: Sequence[int], now: Chances
) -> tuple[Telling | None, Telling | None]:
    """When looks at as many as before tell, and when looks at more do, where that is a day sooner at least.
    None where no day does.

    Parameters
    ----------
    teller : Teller
        How a sign is counted, each way.
    first, until : datetime
        Of the looks to come.
    numbers : sequence of int
        How many are looked at: as before, then others.
    now : Chances
        What is believed now.
    """
    usual, *others = [telling(teller, first, until, of, now) for of in numbers]
    best = min((o for o in others if o is not None), key=lambda o: (o.on, o.of), default=None)
    if best is None or (usual is not None and best.on > usual.on - SOONER):
        return usual, None
    return usual, best


def numbers_of(last: int, heads: int) -> tuple[int, ...]:
    """How many may be looked at: as many as last time; many, or all of them."""
    return (last, *(n for n in dict.fromkeys((min(MANY, heads), heads)) if last < n))


def telling(teller: Teller, first: datetime, until: datetime, of: int, now: Chances) -> Telling | None:
    """The first look after which the likelier of the two, that it is helping and that it does too little, is
    mostly the one that is so; before anything is known of them they are taken as even.
    """
    if now.too_little <= 0.0:
        return None
    weights, chance = teller.weights(early=False), np.random.default_rng(SEED)
    rest = (0.0, now.weak / now.too_little, now.idle / now.too_little, 0.0)
    even = Chances(bites=0.5, weak=rest[1] / 2.0, idle=rest[2] / 2.0, other=0.0)
    helping, not_ = (Futures(weights, truth, even, chance) for truth in ((1.0, 0.0, 0.0, 0.0), rest))
    at, looks = first, 0
    while at <= until:
        outcomes, looks = teller.outcomes(teller.look(at, of)), looks + 1
        yes, no = float(np.mean(helping.after(outcomes) > 0.5)), float(np.mean(not_.after(outcomes) < 0.5))
        if min(yes, no) >= TOLD_APART.value:
            return Telling(first=first, on=at, of=of, looks=looks, if_helping=yes, if_not=no)
        at += EVERY
    return None


class Futures:
    """Looks to come of which it is known what is so, and what they would make anybody believe."""

    def __init__(
        self, weights: Sequence[Array], truth: Sequence[float], now: Chances, chance: np.random.Generator
    ) -> None:
        self.weights, self.now, self.chance = weights, np.array(now.each), chance
        self.name = chance.choice(len(truth), size=FUTURES, p=np.array(truth))
        self.member = np.array([chance.choice(weights[n].size, p=weights[n]) for n in self.name])
        self.likely = [np.ones((FUTURES, w.size)) for w in weights]

    def after(self, outcomes: Sequence[Array]) -> Array:
        """That it is helping, in each, after one more look whose counts are so likely."""
        u = self.chance.random(FUTURES)
        seen = np.array([
            int(np.searchsorted(np.cumsum(outcomes[n][:, m]), one * (1.0 - 1e-9)))
            for n, m, one in zip(self.name, self.member, u, strict=True)
        ])  # fmt: skip
        for n, each in enumerate(outcomes):
            self.likely[n] *= each[np.minimum(seen, len(each) - 1)]
        told = np.array([one @ w for one, w in zip(self.likely, self.weights, strict=True)])
        both = self.now[:, None] * told
        return np.asarray(both[0] / np.maximum(both.sum(axis=0), 1e-300))
