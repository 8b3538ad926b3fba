"""A run that learns: up to now and on, its draws weighed by what was read and by how the animals were."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts
from tankward.room.acts import Dose

from .bands import effective
from .draws import COUNTS
from .earlier import Prior
from .from_room import Story
from .own_numbers import OwnNumber, of_kits, own_numbers
from .record import Record
from .rows import Array
from .simulate import WATER, simulate
from .weigh import Evidence, Judged, enough, powered, resampled, stood, tempered

GROW = 4  # so many times as many draws are tried where few carry the weight


class Learning(msgspec.Struct, frozen=True, kw_only=True):
    """What a run came to once everything told was held against it.

    `fits`: nothing had to be tempered; `effective`: of how many draws alike the weights are worth. `lots`: by
    kit, the chance of each of the lots that `eye.lots_of` lists.
    """

    record: Record
    weights: Array
    fits: bool
    effective: float
    judged: tuple[Judged, ...]
    own: tuple[OwnNumber, ...]
    lots: dict[str, Array] = {}


def learn(
    told: Story,
    now: datetime,
    facts: Facts,
    *,
    hours: float,
    draws: int = 256,
    well: bool = False,
    prior: Prior | None = None,
) -> Learning:
    """Run a story, and weigh the draws.

    Parameters
    ----------
    told : Story
        The tank, what was done and is planned, what was read.
    now : datetime
        Up to here the animals were seen.
    facts : Facts
        Errors of the kits, limits of a tank that has stood.
    hours : float
        How far from the story's start.
    draws : int
        64, 128, 256, 512 or 1024.
    well : bool
        Whether the animals were well within the last week.
    prior : callable, optional
        What earlier courses taught of the tank: of so many draws, ln of the weight of each.

    Notes
    -----
    Where so few draws carry the weight that it would have to be tempered, four times as many are run, and of
    them as many as were asked for are kept, each as often as it weighs. Tempered is only what is left then.
    """
    found = _once(told, now, facts, hours, draws, well, prior)
    if found.fits or draws == COUNTS[-1]:
        return found
    more = _once(told, now, facts, hours, min(GROW * draws, COUNTS[-1]), well, prior)
    kept = resampled(more.weights, draws)
    return msgspec.structs.replace(
        more,
        record=picked(more.record, kept),
        weights=np.full(draws, 1.0 / draws),
        effective=min(more.effective, float(draws)),
    )


def _once(
    told: Story,
    now: datetime,
    facts: Facts,
    hours: float,
    draws: int,
    well: bool,
    prior: Prior | None,
) -> Learning:
    evidence = Evidence(facts, draws, told.start, told.setup.levels)
    if prior is not None:
        evidence.log = evidence.earlier = prior(draws)
    events = (*told.events, *evidence.events(told.readings))
    record = simulate(
        told.setup, told.acts, facts, start=told.start, hours=hours, draws=draws, events=events, marks=(now,)
    )
    seen = np.log(stood(without_course(told, record, now, facts, draws), facts, now)) if well else 0.0
    weights, exponent = tempered(evidence.log + seen, enough(draws, facts))
    lots = {kit: weights @ shares for kit, shares in evidence.lots.items()}
    return Learning(
        record=record,
        weights=weights,
        fits=exponent == 1.0,
        effective=effective(weights),
        judged=tuple(evidence.judged),
        own=(
            *own_numbers(told, record, now, facts, (powered(evidence.earlier, exponent), weights)),
            *of_kits(lots, facts),
        ),
        lots=lots,
    )


def without_course(told: Story, record: Record, now: datetime, facts: Facts, draws: int) -> Record:
    """The run up to now as it would have been without any course: same food, animals, changes."""
    substances = [name for name in record.names if name not in WATER]
    given = any(isinstance(act, Dose) and at < now for at, act in told.acts)
    if not given and not told.setup.met and not told.setup.levels.keys() & set(substances):
        return record  # until now there was none
    levels = {name: e for name, e in told.setup.levels.items() if name not in substances}
    acts = [(at, act) for at, act in told.acts if at <= now and not isinstance(act, Dose)]
    events = (*told.events, *Evidence(facts, draws, told.start, levels).events(told.readings))
    hours = (now - told.start) / timedelta(hours=1)
    setup = msgspec.structs.replace(told.setup, levels=levels, met=())
    return simulate(
        setup, acts, facts, start=told.start, hours=hours, draws=draws, events=events, marks=(now,)
    )


def picked(record: Record, kept: NDArray[np.intp]) -> Record:
    """The same record of some of its draws."""
    guild = record.guild_mg_h
    return msgspec.structs.replace(
        record,
        arrays={name: levels[:, kept] for name, levels in record.arrays.items()},
        weights=np.full(kept.size, 1.0 / kept.size),
        ph=record.ph[kept],
        in_fish={name: levels[:, kept] for name, levels in record.in_fish.items()},
        guild_mg_h=None if guild is None else guild[:, kept],
        left=None if record.left is None else record.left[:, kept],
    )
