"""The causes of the facts as a network: which sign each shows, how often, how fast, in how many fish."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

import msgspec
import numpy as np

from .choices import UNLISTED_HIGH, UNLISTED_LOW
from .context import Row
from .draws import DRAWS, Array, chance

Pair = tuple[float, float]
UNLISTED = "not_on_this_list"
ONSETS = ("hours", "days", "weeks")
SHARES = ("one", "some", "most")


class KnownTest(msgspec.Struct, frozen=True, kw_only=True):
    """A test of a cause: how often it is positive when the cause is there, and negative when it is not."""

    name: str
    sensitivity: Pair
    specificity: Pair
    cost: str = ""
    sample: str = ""  # skin, gills, faeces, ...: where it is looked for; "" where nothing is taken
    same_as: str = ""  # the sign or the context that tells the same


class Cause(msgspec.Struct, frozen=True, kw_only=True):
    """One cause, with every number as a range."""

    id: str
    group: str
    prior: Pair
    sign: Mapping[str, Pair]
    against: Mapping[str, Pair]
    context: tuple[Row, ...]
    course: Mapping[str, Pair]
    share: Mapping[str, Pair]
    survey: Mapping[str, Pair] = {}  # host group -> factor on the odds, from the surveys
    tests: tuple[KnownTest, ...] = ()
    urgency: str = ""
    human_hazard: str = ""


class Network(msgspec.Struct, frozen=True, kw_only=True):
    """All causes, and how often each sign is reported where nothing is wrong."""

    causes: tuple[Cause, ...]
    leak: Mapping[str, Pair]
    course_unknown: Mapping[str, Pair]
    share_unknown: Mapping[str, Pair]
    host_groups: frozenset[str] = frozenset()

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(c.id for c in self.causes)

    def cause(self, cause_id: str) -> Cause:
        return next(c for c in self.causes if c.id == cause_id)

    def index(self, cause_id: str) -> int:
        return (*self.ids, UNLISTED).index(cause_id)


def prior_odds(net: Network) -> Array:
    """Odds of each cause before any evidence, and of something not on this list. [256 draws, causes + 1]"""
    drawn = [chance(f"prior {c.id}", *c.prior) for c in net.causes]
    drawn.append(chance(f"prior {UNLISTED}", UNLISTED_LOW.value, UNLISTED_HIGH.value))
    p = np.stack(drawn, axis=1)
    return np.asarray(p / (1.0 - p))


def shows(net: Network, sign: str) -> Array:
    """Chance that each cause shows a sign. [256 draws, causes + 1]

    Notes
    -----
    A cause without a row for the sign does not show it: the leak may. What is not on the list shows a sign
    as often as the causes of the list do on average, weighted by their priors, as nothing better is known
    of it.
    """
    return _shows(_Key(net), sign)


class _Key:
    """A network as a key of a cache: the same object, the same columns."""

    def __init__(self, net: Network) -> None:
        self.net = net

    def __hash__(self) -> int:
        return id(self.net)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and other.net is self.net


@cache
def _shows(key: _Key, sign: str) -> Array:
    net = key.net
    q = np.zeros((DRAWS, len(net.causes) + 1))
    for i, cause in enumerate(net.causes):
        if sign in cause.sign:
            q[:, i] = chance(f"sign {cause.id} {sign}", *cause.sign[sign])
    prior = np.array([sum(c.prior) / 2.0 for c in net.causes])
    q[:, -1] = q[:, :-1] @ prior / prior.sum()
    return q


def leak(net: Network, sign: str) -> Array:
    """Chance that a careful keeper reports the sign where nothing is wrong. [256 draws]"""
    return chance(f"leak {sign}", *net.leak[sign])


def answers(rows: Iterable[tuple[str, Mapping[str, Pair]]], answer: str, choices: tuple[str, ...]) -> Array:
    """Chance of one answer of a fact with several, per cause: the draws of the answers divided by
    their sum.
    """
    columns = []
    for name, row in rows:
        drawn = {c: chance(f"{name} {c}", *row[c]) for c in choices}
        columns.append(drawn[answer] / np.sum(list(drawn.values()), axis=0))
    return np.stack(columns, axis=1)
