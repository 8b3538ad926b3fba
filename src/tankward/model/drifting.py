"""Signs that follow no organism of ours: a share, or a number, that stands somewhere and drifts.

What another cause does is not known. What is taken is that it mostly spreads, as the odds of a fish to show
a sign rise by `RISE` a day, give or take `DRIFT`: so it may stand still, and it rarely fades by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from statistics import NormalDist

import msgspec
import numpy as np

from .both_ways import MOST_COUNTED, beta_binomial, negative_binomial
from .counts import EDGE, Deaths, Eyes, OnFish, Told, log_heads, log_parasites
from .fields import FIRST, MOST, SIZE, InField
from .rows import Array

RISE = 0.08  # of ln odds, or of ln number, a day [our own choice: five illnesses spread for one that passes]
DRIFT = 0.1  # one standard deviation of it [our own choice]
LEVELS = np.linspace(-6.0, 6.0, 41)  # ln odds at the first look
NUMBERS = np.log(np.geomspace(0.01, 3000.0, 41))
SLOPES = np.linspace(-3.0, 3.0, 17)  # in standard deviations
DIES = 0.5  # shape of the gamma of deaths; with `DAYS` 1 in 100 a day [our own choice]
DAYS = 50.0  # fish × days
SHARES = np.linspace(0.02, 0.98, 49)


class Drifting(msgspec.Struct, frozen=True, kw_only=True):
    """One sign: what is believed of where it stands and how it drifts. Cells × 1."""

    since: datetime
    sign: str
    single: bool  # parasites on fish, not fish
    alike: float
    size: float
    floor: float  # share of the fish that show it for another reason, whatever this one does
    weights: Array

    def chance(self, told: Told) -> Array:
        """What each cell makes of a look: the share that shows it, or the number on a fish."""
        days = (told.at - self.since) / timedelta(days=1)
        base = NUMBERS if self.single else LEVELS
        at = (base[:, None] + (RISE + DRIFT * SLOPES[None, :]) * days).ravel()
        if self.single:
            return np.exp(at)
        share = self.floor + (1.0 - self.floor) / (1.0 + np.exp(-at))
        return np.asarray(np.clip(share, EDGE, 1.0 - EDGE))

    def log(self, told: Told) -> Array:
        """ln of how likely each cell makes a look."""
        level = self.chance(told)
        if isinstance(told, OnFish):
            return log_parasites(told.number, level * told.of, np.full(level.shape, self.size * told.of))
        return log_heads(told, level, np.full(level.shape, self.alike))

    def outcomes(self, like: Told) -> Array:
        """Counts × cells: the chance of each count, none first."""
        level = self.chance(like)
        if isinstance(like, OnFish):
            return negative_binomial(level * like.of, np.full(level.shape, self.size * like.of), MOST_COUNTED)
        return beta_binomial(like.of, level, np.full(level.shape, self.alike))

    def counted(self, like: Told) -> Array:
        """The chance of each count, whichever cell."""
        return np.asarray(self.outcomes(like) @ self.weights)

    def after(self, looks: Iterable[Told]) -> Drifting:
        """The same once these looks are known."""
        heavy = self.weights * np.exp(_level(sum((self.log(t) for t in looks), np.zeros(self.weights.size))))
        return msgspec.structs.replace(self, weights=heavy / heavy.sum())


def _level(logs: Array) -> Array:
    return np.asarray(logs - logs.max())


def drifting(like: Told, since: datetime, eyes: Eyes) -> Drifting:
    """Before any look: where it stands is not known (Jeffreys' prior of a share; any number). It is seen as
    an organism's signs are, with the middle of each of their numbers.
    """
    single = isinstance(like, OnFish)
    share = 1.0 / (1.0 + np.exp(-LEVELS))
    base = np.ones(NUMBERS.size) if single else np.sqrt(share * (1.0 - share))
    weights = (base[:, None] * np.exp(-(SLOPES**2) / 2.0)[None, :]).ravel()
    return Drifting(
        since=since,
        sign=like.sign,
        single=single,
        alike=float(np.median(eyes.alike)),
        size=float(np.median(eyes.size)),
        floor=float(np.median(eyes.elsewhere[like.sign])) if like.sign in eyes.elsewhere else 0.0,
        weights=weights / weights.sum(),
    )


def log_since(early: Sequence[Told], late: Sequence[Told], eyes: Eyes) -> float:
    """ln of the chance of the later looks, given the earlier ones; each sign goes its own way."""
    total = 0.0
    for group in _groups((*early, *late)):
        known = [t for t in early if _key(t) == group]
        told = [t for t in late if _key(t) == group]
        if not told:
            continue
        first = min(t.at for t in (*known, *told))
        one = drifting(told[0], first, eyes).after(known)
        logs = sum((one.log(t) for t in told), np.zeros(one.weights.size))
        total += float(logs.max() + np.log(np.exp(_level(logs)) @ one.weights))
    return total


def _groups(looks: Iterable[Told]) -> list[tuple[str, bool]]:
    return list(dict.fromkeys(_key(t) for t in looks))


def _key(told: Told) -> tuple[str, bool]:
    return told.sign, isinstance(told, OnFish)


def log_fields_since(early: Sequence[InField], every: Sequence[InField]) -> float:
    """The same of germs in a field."""
    return _log_fields(every) - _log_fields(early) if every else 0.0


def _log_fields(fields: Sequence[InField]) -> float:
    if not fields:
        return 0.0
    logs = np.zeros((len(FIRST), SLOPES.size))
    for f in fields:
        days = (f.at - fields[0].at) / timedelta(days=1)
        mean = FIRST * np.exp((RISE + DRIFT * SLOPES) * days)[None, :]
        logs += log_parasites(round(min(f.number, MOST)), mean, np.full(mean.shape, SIZE))
    weights = np.exp(-(SLOPES**2) / 2.0)
    each = np.exp(logs - logs.max()) @ (weights / weights.sum())
    return float(logs.max() + np.log(each.mean()))


def log_deaths_since(before: Deaths | None, since: Deaths, fish: float, size: float) -> float:
    """ln of the chance of so many dead since, given the dead before.

    Notes
    -----
    How many die of another cause is a gamma, learned from the dead before; deaths come in heaps (`size`).
    """
    shape, days = DIES, DAYS
    if before is not None:
        shape += before.number
        days += fish * (before.at - before.since) / timedelta(days=1)
    rates = np.array([_gamma_quantile(shape, q) for q in SHARES]) / days
    mean = np.maximum(rates * fish * ((since.at - since.since) / timedelta(days=1)), 1e-6)
    return float(np.log(np.exp(log_parasites(since.number, mean, np.full(mean.shape, size))).mean()))


def _gamma_quantile(shape: float, share: float) -> float:
    """By the cube of Wilson and Hilferty, good enough for a mean over quantiles."""
    z = NormalDist().inv_cdf(share)
    return float(shape * max(1.0 - 1.0 / (9.0 * shape) + z / (3.0 * shape**0.5), 0.02) ** 3)


__all__ = ["DRIFT", "Drifting", "drifting", "log_deaths_since", "log_fields_since", "log_since"]
