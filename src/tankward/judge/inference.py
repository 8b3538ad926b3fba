"""Which causes are at work: exact sums over no cause, each cause alone and every two together."""

from __future__ import annotations

import msgspec
import numpy as np

from .draws import Array


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


class Posterior(msgspec.Struct, frozen=True, kw_only=True):
    """Chances after the look, per draw."""

    none: Array  # [draws] none of the causes
    one: Array  # [draws, causes] this cause alone
    two: Array  # [draws, causes, causes] these two; upper triangle

    @property
    def each(self) -> Array:
        """Chance that a cause is at work, alone or with another. [draws, causes]"""
        return np.asarray(self.one + self.two.sum(axis=1) + self.two.sum(axis=2))


def posterior(seen: Observed) -> Posterior:
    """Chances of every set of at most two causes, by Bayes' rule over a noisy-OR with leak.

    Parameters
    ----------
    seen : Observed
        Odds, and chances that signs fail to show.

    Returns
    -------
    Posterior
        Sums to 1 in every draw.

    Notes
    -----
    A sign is absent when the leak and every cause at work fail to show it: P(absent | S) = (1 - leak)
    prod_{i in S} (1 - q_i); P(seen | S) = 1 - P(absent | S). A fact with several answers (how fast, how
    many) has one distribution per cause; of two causes at work either may be the one the keeper tells of,
    so the mean of the two is taken. The weight of a set is the product of its odds and its likelihoods,
    divided by the sum over all sets.
    """
    none = np.ones(seen.odds.shape[0])
    one = seen.odds.copy()
    two = seen.odds[:, :, None] * seen.odds[:, None, :]
    for k in range(seen.seen_leak.shape[1]):
        quiet, miss = 1.0 - seen.seen_leak[:, k], seen.seen_miss[:, k]
        none *= 1.0 - quiet
        one *= 1.0 - quiet[:, None] * miss
        two *= 1.0 - (quiet[:, None] * miss)[:, :, None] * miss[:, None, :]
    quiet, miss = (1.0 - seen.absent_leak).prod(axis=1), seen.absent_miss.prod(axis=1)
    none *= quiet
    one *= quiet[:, None] * miss
    two *= (quiet[:, None] * miss)[:, :, None] * miss[:, None, :]
    for given, given_none in seen.facts:
        none *= given_none
        one *= given
        two *= (given[:, :, None] + given[:, None, :]) / 2.0
    two *= np.triu(np.ones(two.shape[1:]), k=1)
    total = none + one.sum(axis=1) + two.sum(axis=(1, 2))
    return Posterior(none=none / total, one=one / total[:, None], two=two / total[:, None, None])
