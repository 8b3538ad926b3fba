"""What the rest of the room says of a tank: a catching disease next door, and what came from there."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from functools import lru_cache

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.room.acts import Move
from tankward.room.replay import Room
from tankward.room.time import hours_between

from .evidence import Evidence, Happened, fair
from .inference import posterior
from .network import Network
from .network_of import network_of
from .observing import observed

NEAR_D = 28.0  # of the context "neighbour_ill"
LIKELY = 0.4  # chance from which a disease there counts here (memory)
MOST_TANKS = 6  # the newest looks of so many tanks; more would tell little more
EVERY = 8
HOURS_IN_DAY = 24.0


def catching(net: Network) -> frozenset[str]:
    """Causes that the facts let come from a tank next door."""
    return frozenset(c.id for c in net.causes if any(row.id == "neighbour_ill" for row in c.context))


def of_neighbours(
    room: Room, tank: str, told: dict[str, Evidence], facts: Facts, now: datetime
) -> Iterator[Happened]:
    """Catching causes that are likely in another tank, and whether anything came from it.

    Parameters
    ----------
    room : Room
        The room after replay.
    tank : str
        The tank that is asked about.
    told : dict
        Tank -> its own evidence, nothing of its neighbours in it.
    facts : Facts
        The facts.
    now : datetime
        The instant of the question.
    """
    net = network_of(facts)
    for other, evidence in told.items():
        seen = max(look.at for look in room.looks(other) if look.seen and look.at <= now)
        age = hours_between(seen, now) / HOURS_IN_DAY
        for cause in likely(evidence, _Net(net)):
            yield Happened(context="neighbour_ill", age_d=age, of=(cause,))
            yield from _came(room, other, tank, cause, now)


class _Net(msgspec.Struct, frozen=True, eq=False):
    """A network as a key: the same object, the same answers."""

    net: Network

    def __hash__(self) -> int:
        return id(self.net)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Net) and other.net is self.net


@lru_cache(maxsize=128)
def likely(evidence: Evidence, of: _Net) -> tuple[str, ...]:
    """Catching causes that are likely, by every eighth draw: enough for a yes or no."""
    seen = observed(fair(evidence), of.net).of(slice(None, None, EVERY))
    middle = np.median(posterior(seen).each, axis=0)
    spreads = catching(of.net)
    return tuple(c for c, p in zip(of.net.ids, middle, strict=False) if p >= LIKELY and c in spreads)


def likely_there(evidence: Evidence, facts: Facts) -> tuple[str, ...]:
    """Catching causes that are likely by a tank's own evidence."""
    return likely(evidence, _Net(network_of(facts)))


def _came(room: Room, other: str, tank: str, cause: str, now: datetime) -> Iterator[Happened]:
    for at, act in room.acts(other):
        age = hours_between(at, now) / HOURS_IN_DAY
        if isinstance(act, Move) and act.to == tank and 0.0 <= age <= NEAR_D:
            yield Happened(context="came_from_ill", age_d=age, of=(cause,))


def ill_tanks(room: Room, tank: str, now: datetime) -> tuple[str, ...]:
    """Other tanks in whose looks of the last weeks a sign was seen, the newest first."""
    last = {
        other: max((k.at for k in room.looks(other) if k.seen and k.at <= now), default=None)
        for other in room.tanks
        if other != tank
    }
    fresh = [
        (at, other) for other, at in last.items() if at and hours_between(at, now) <= NEAR_D * HOURS_IN_DAY
    ]
    return tuple(other for _, other in sorted(fresh, reverse=True)[:MOST_TANKS])
