"""A tank up to now, learned from: the last week run once with all draws, and those that stand for it."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts
from tankward.room.replay import Room

from .bands import effective
from .draws import COUNTS
from .earlier import earlier, expected
from .from_room import Story
from .inhabitants import animals
from .learn import picked, without_course
from .living import Living
from .record import Record
from .resume import Stopped, stopped
from .rows import Array
from .simulate import simulated
from .weigh import Evidence, enough, powered, scattered, stood, tempered, well

ALL = COUNTS[-1]


class Now(msgspec.Struct, frozen=True, kw_only=True):
    """The water of a tank now in each draw, its record up to now, the weights of the draws. `first`: the
    animals that the tank is reckoned for.
    """

    water: Stopped
    record: Record
    weights: Array
    first: Living


def up_to_now(told: Story, room: Room, now: datetime, facts: Facts, draws: int) -> Now:
    """The last week, run and weighed.

    Notes
    -----
    All 1024 draws are run whatever the number asked for, so that fewer are the first of more. Where any count
    of them is worth too few (`weigh.enough`), all of them are drawn anew, each as often as it weighs, in an
    order of which every beginning is spread alike; and then the same holds. What earlier courses taught
    weighs them as in a forecast, that of a medicine that is long gone too: a course may give it again.
    """
    read, told = told, expected(room, told, facts)
    evidence, taught = Evidence(facts, ALL, told.start, read.setup.levels), earlier(room, told, facts)
    if taught is not None:
        evidence.log = evidence.earlier = taught(ALL)
    events = (*told.events, *evidence.events(told.readings))
    hours = (now - told.start) / timedelta(hours=1)
    found = simulated(
        told.setup, told.acts, facts, start=told.start, hours=hours, draws=ALL, events=events, fields=()
    )
    log = evidence.log
    if well(room, told.tank.id, now, facts):
        log = log + np.log(stood(without_course(read, found.record, now, facts, ALL), facts, now))
    kept, weights = chosen(log, draws, facts)
    return Now(
        water=stopped(found, told.setup, draws, kept),
        record=picked(found.record, np.arange(draws) if kept is None else kept),
        weights=weights,
        first=animals(room, told.tank.id, told.start, facts)[0],
    )


def chosen(log: Array, draws: int, facts: Facts) -> tuple[NDArray[np.intp] | None, Array]:
    """Which draws stand for all (None: the first), and their weights, which add up to 1."""
    if all(effective(powered(log[:n], 1.0)) >= enough(n, facts) for n in COUNTS):
        return None, powered(log[:draws], 1.0)
    weights = tempered(log, enough(ALL, facts))[0]
    return spread(weights)[:draws], np.full(draws, 1.0 / draws)


def spread(weights: Array) -> NDArray[np.intp]:
    """As many draws as there are weights, each as often as it weighs, so ordered that the first of them stand
    for all: their places on the sum of the weights are whole numbers with their bits turned round.
    """
    size = weights.size
    order = np.argsort(scattered(size, 0))
    reached = np.cumsum(weights[order]) / weights.sum()
    turned, left = np.zeros(size, dtype=np.int64), np.arange(size)
    for _ in range(size.bit_length() - 1):
        turned, left = turned * 2 + left % 2, left // 2
    at = np.searchsorted(reached, (turned + 0.5) / size)
    return np.asarray(order[np.minimum(at, size - 1)])
