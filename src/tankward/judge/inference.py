"""Which causes are at work: exact sums over none, each alone, every two and every three together."""

from __future__ import annotations

from typing import TypeAlias

import msgspec
import numpy as np
from numpy.typing import NDArray

from .draws import Array

Index: TypeAlias = NDArray[np.int64]


class Observed(msgspec.Struct, frozen=True, kw_only=True):
    """What a look says, as chances. First axis: draws; last axis: causes. Signs nobody looked for are left
    out.
    """

    odds: Array  # [draws, causes] prior odds, context and signs against already in
    seen_miss: Array  # [draws, signs seen, causes] chance that the cause does not show the sign
    seen_leak: Array  # [draws, signs seen] chance that the sign is there with no cause at work
    absent_miss: Array  # [draws, signs absent, causes]
    absent_leak: Array  # [draws, signs absent]
    facts: tuple[tuple[Array, Array], ...] = ()  # (given each cause [draws, causes], given none [draws])

    def of(self, draws: slice) -> Observed:
        """The same look in some of the draws."""
        return Observed(
            odds=self.odds[draws],
            seen_miss=self.seen_miss[draws],
            seen_leak=self.seen_leak[draws],
            absent_miss=self.absent_miss[draws],
            absent_leak=self.absent_leak[draws],
            facts=tuple((given[draws], none[draws]) for given, none in self.facts),
        )


class Posterior(msgspec.Struct, frozen=True, kw_only=True):
    """Chances after the look, per draw."""

    none: Array  # [draws] none of the causes
    one: Array  # [draws, causes] this cause alone
    two: Array  # [draws, causes, causes] these two; upper triangle
    three: Array  # [draws, causes] this cause as one of three

    @property
    def each(self) -> Array:
        """Chance that a cause is at work, alone or with one or two others. [draws, causes]"""
        return np.asarray(self.one + self.two.sum(axis=1) + self.two.sum(axis=2) + self.three)


FIELDS = ("none", "one", "two", "three")
AT_ONCE = 32  # draws: so many sets of three lie in the fastest memory


def posterior(seen: Observed) -> Posterior:
    """Chances of every set of at most three causes, by Bayes' rule over a noisy-OR with leak.

    Parameters
    ----------
    seen : Observed
        Odds, and chances that signs fail to show.

    Returns
    -------
    Posterior
        Sums to 1 in every draw; sets of three are told by cause, so a set counts there three times.

    Notes
    -----
    A sign is absent when the leak and every cause at work fail to show it: P(absent | S) = (1 - leak)
    prod_{i in S} (1 - q_i); P(seen | S) = 1 - P(absent | S). A fact with several answers (how fast, how
    many) has one distribution per cause; of several causes at work any may be the one the keeper tells of,
    so their mean is taken. The weight of a set is the product of its odds and its likelihoods, divided by
    the sum over all sets.
    """
    turns = [_sums(seen.of(slice(first, first + AT_ONCE))) for first in range(0, seen.odds.shape[0], AT_ONCE)]
    return Posterior(**{name: np.concatenate([getattr(t, name) for t in turns]) for name in FIELDS})


def _sums(seen: Observed) -> Posterior:
    quiet, odds = 1.0 - seen.seen_leak, seen.odds * seen.absent_miss.prod(axis=1)
    # A sign that is absent had the leak quiet in every set: that factor falls out of the ratio.
    none, one = seen.seen_leak.prod(axis=1), odds.copy()
    for k in range(quiet.shape[1]):
        one *= 1.0 - quiet[:, k, None] * seen.seen_miss[:, k]
    for given, given_none in seen.facts:
        none *= given_none
        one *= given
    pairs = Pairs.of(seen, odds, quiet)
    two, three = pairs.weights(), pairs.with_a_third(seen, odds)
    total = none + one.sum(axis=1) + two.sum(axis=0) + three.sum(axis=1) / 3.0
    return Posterior(
        none=none / total,
        one=one / total[:, None],
        two=pairs.as_square(two) / total[:, None, None],
        three=three / total[:, None],
    )


class Pairs(msgspec.Struct, frozen=True):
    """Every two causes i < j, by i and then j: pairs × draws."""

    first: Index
    second: Index
    odds: Array
    missed: tuple[Array, ...]  # of each sign seen: chance that neither the leak nor these two show it
    given: tuple[Array, ...]  # of each fact: the sum over the two

    @classmethod
    def of(cls, seen: Observed, odds: Array, quiet: Array) -> Pairs:
        first, second = np.triu_indices(odds.shape[1], k=1)
        miss = [quiet[:, k] * turned(seen.seen_miss[:, k], first, second) for k in range(quiet.shape[1])]
        given = tuple(g.T[first] + g.T[second] for g, _ in seen.facts)
        return cls(first, second, turned(odds, first, second), tuple(miss), given)

    def weights(self) -> Array:
        """Of the two alone."""
        found = self.odds.copy()
        for missed in self.missed:
            found *= 1.0 - missed
        for given in self.given:
            found *= given / 2.0
        return found

    def with_a_third(self, seen: Observed, odds: Array) -> Array:
        """Sum of the weights of all sets of three that hold a cause. [draws, causes]

        Notes
        -----
        The third is every cause that stands before the two, so that each set is met once; a sign that it
        does not show is not asked of it again.
        """
        causes = odds.shape[1]
        by_cause, by_pair = np.zeros((causes, odds.shape[0])), np.zeros_like(self.odds)
        shown = [1.0 - missed for missed in self.missed]
        room = np.empty((2, *self.odds.shape))
        idle = (seen.seen_miss == 1.0).all(axis=0)
        for third in range(causes - 2):
            after = slice(int(np.searchsorted(self.first, third, side="right")), None)
            weight, part = room[0, after], room[1, after]
            np.multiply(self.odds[after], odds[:, third] / 3.0 ** len(self.given), out=weight)
            for k, missed in enumerate(self.missed):
                if idle[k, third]:
                    weight *= shown[k][after]
                    continue
                np.multiply(missed[after], -seen.seen_miss[:, k, third], out=part)
                part += 1.0
                weight *= part
            for given, (each, _) in zip(self.given, seen.facts, strict=True):
                np.add(given[after], each[:, third], out=part)
                weight *= part
            by_cause[third] = weight.sum(axis=0)
            by_pair[after] += weight
        np.add.at(by_cause, self.first, by_pair)
        np.add.at(by_cause, self.second, by_pair)
        return by_cause.T

    def as_square(self, weights: Array) -> Array:
        """Draws × causes × causes; upper triangle."""
        causes = int(self.second[-1]) + 1 if len(self.second) else 1
        square = np.zeros((weights.shape[1], causes, causes))
        square[:, self.first, self.second] = weights.T
        return square


def turned(each: Array, first: Index, second: Index) -> Array:
    """Products over every two causes: pairs × draws."""
    rows = np.ascontiguousarray(each.T)
    return rows[first] * rows[second]
