"""The next question: of all signs, and of how fast and how many, the one that tells most for its minutes."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import msgspec
import numpy as np

from tankward.knowledge.known import Facts

from .choices import MOST_QUESTIONS, WORTH_ASKING
from .draws import Array
from .evidence import Evidence, fair
from .inference import Posterior, posterior
from .network import Network
from .next_look import COST, EVERY, rated, signs_left, thinned
from .observing import CHOICES, Column, fact_column, observed


class Question(msgspec.Struct, frozen=True, kw_only=True):
    """One question: a sign, or "onset" or "share"."""

    id: str
    minutes: float
    gain: float  # bits on which causes are at work

    @property
    def gain_per_minute(self) -> float:
        """What a minute of it tells."""
        return self.gain / self.minutes


def next_question(evidence: Evidence, net: Network, facts: Facts, asked: Collection[str]) -> Question | None:
    """The question to ask next.

    Parameters
    ----------
    evidence : Evidence
        What is known.
    net : Network
        The causes.
    facts : Facts
        Names of signs and how to look.
    asked : collection of str
        What was asked already, answered or skipped.

    Returns
    -------
    Question or None
        None after a dozen, or where none would tell a hundredth of a bit. The gain is the mutual information
        of the answer and the causes at work, as for `next_look`.
    """
    if len(asked) >= MOST_QUESTIONS.value:
        return None
    evidence = fair(evidence)
    after = thinned(posterior(observed(evidence, net)))
    done = {*asked, *evidence.unsure}
    found = [*_of_signs(evidence, after, net, facts), *_of_facts(evidence, after, net)]
    left = [q for q in found if q.id not in done and q.gain >= WORTH_ASKING.value]
    return min(left, key=lambda q: (-q.gain_per_minute, q.id), default=None)


def _of_signs(evidence: Evidence, after: Posterior, net: Network, facts: Facts) -> Iterator[Question]:
    for look, column in signs_left(evidence, net, facts):
        told = rated(look, column, after, net)
        yield Question(id=look.id, minutes=told.minutes, gain=told.gain)


def _of_facts(evidence: Evidence, after: Posterior, net: Network) -> Iterator[Question]:
    for name, answer in (("onset", evidence.onset), ("share", evidence.share)):
        if not answer:
            columns = [fact_column(net, name, choice) for choice in CHOICES[name]]
            yield Question(id=name, minutes=COST["seconds"][0], gain=information_of(after, columns))


def information_of(after: Posterior, columns: Collection[Column]) -> float:
    """Mutual information of a fact with several answers and the causes at work. [bit]

    Notes
    -----
    Of two causes at work either may be the one that is told of: the mean of both.
    """
    gain = np.zeros_like(after.none)
    for given, none in columns:
        one, bare = given[::EVERY], none[::EVERY]
        two = (one[:, :, None] + one[:, None, :]) / 2.0
        said = after.none * bare + (after.one * one).sum(axis=1) + (after.two * two).sum(axis=(1, 2))
        known = after.none * _bits(bare) + (after.one * _bits(one)).sum(axis=1)
        gain += _bits(said) - known - (after.two * _bits(two)).sum(axis=(1, 2))
    return max(float(np.mean(gain)), 0.0)


def _bits(p: Array) -> Array:
    q = np.clip(p, 1e-12, 1.0)
    return np.asarray(-q * np.log2(q))
