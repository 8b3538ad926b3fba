"""Which draws to believe: those that explain the readings, and those in which the tank could have stood.

What is taken to happen when a keeper reads: nearly always the kit shows the level, with the error of its
eye and of its lot, the same lot for all readings with one kit. One reading in thirty shows anything, and
before one in fifteen something has happened that nobody entered, so that the level may be anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from functools import partial

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge.known import Facts
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.things import Reading

from .bands import effective
from .draws import GOLDEN
from .events import Event, Held, Read
from .eye import Eye, eye_of
from .kits import CARBONATE, KITS, carbonate_truth, span, truth
from .record import FIELDS, Record
from .rows import Array

SETTLED = timedelta(days=1)  # oxygen begins saturated: before, nothing is held against it
UNEXPLAINED = 0.5  # chance that a reading is a usual one; below it, it is told [memory]
DISTRESS = frozenset({"breathing", "gills", "swimming", "deaths"})  # groups of signs that speak of bad water
LAST_LOOK = timedelta(days=7)
EXPONENTS = 40  # halvings of the exponent when weights are tempered


class Judged(msgspec.Struct, frozen=True):
    """A reading held against the draws: what it allows, and the chance that it is a usual one."""

    at: datetime
    reading: Reading
    low: float
    high: float
    explained: float


class Evidence:
    """The readings of one run, held against its draws one after another.

    `log`: logarithm of each draw's factor; `earlier`: the same before the last reading.
    """

    def __init__(self, facts: Facts, draws: int, start: datetime, told: Iterable[str] = ()) -> None:
        self.facts, self.draws = facts, draws
        self.log = self.earlier = np.zeros(draws)
        self.lots: dict[str, Array] = {}
        self.judged: list[Judged] = []
        # From when a level can be held against a reading; None: the first one tells how much there was.
        self.begins: dict[str, datetime | None] = {"oxygen": start + SETTLED}
        if "nitrate_n" not in told:
            self.begins["nitrate_n"] = None

    def events(self, readings: Sequence[tuple[datetime, Reading]]) -> list[tuple[datetime, Event]]:
        """The readings as the run meets them."""
        kept = [(at, r) for at, r in readings if r.quantity in KITS]
        found: list[tuple[datetime, Event]] = []
        for n, (at, reading) in enumerate(kept):
            eye = eye_of(reading, self.facts)
            if eye is not None:
                taken = partial(self._taken, at, reading, eye, len(kept) - n)
                field = FIELDS.get(reading.quantity, "")
                found.append((at, Held(quantity=reading.quantity, field=field, taken=taken)))
        return found + of_carbonate(readings, self.facts, self.draws)

    def _taken(self, at: datetime, reading: Reading, eye: Eye, turn: int, level: Array) -> Array:
        """The level from which each draw goes on: its own, or what was read where something has happened."""
        begins = self.begins.get(reading.quantity, at)
        if begins is None or at < begins:
            self.begins[reading.quantity] = at
            return truth(reading, self.facts, self.draws, turn)
        before = self.lots.get(eye.kit, np.full((self.draws, eye.lots.size), 1.0 / eye.lots.size))
        odd_share, happening = (self.facts.tank[f"reading_{name}"].low for name in ("odd", "happened"))
        usual = (1.0 - odd_share) * before * eye.likely(level * share_read(reading.quantity, self.facts))
        odd = odd_share / eye.answers
        chance = usual.sum(axis=1) + odd
        plain = usual.sum(axis=1) / chance
        happened = scattered(self.draws, turn) < (1.0 - plain) * happening
        after = (usual + odd * before) / chance[:, None]
        if eye.kit:
            self.lots[eye.kit] = np.where(happened[:, None], before, after)
        self.earlier, self.log = self.log, self.log + np.log(chance)
        weights = np.exp(self.log - self.log.max())
        low, high = span(reading, self.facts)
        self.judged.append(Judged(at, reading, low, high, float((weights * plain).sum() / weights.sum())))
        anything = truth(reading, self.facts, self.draws, turn) / share_read(reading.quantity, self.facts)
        return np.where(happened, anything, level)


def scattered(draws: int, turn: int) -> Array:
    """Numbers that go with no column: by the place of a draw alone."""
    return np.asarray((np.arange(1, draws + 1) * GOLDEN + turn * GOLDEN * GOLDEN * 0.5) % 1.0)


def share_read(quantity: str, facts: Facts) -> float:
    """How much of a substance's level a kit counts: of copper sulfate the copper. [-]"""
    known = facts.substances.get(quantity)
    shares = [f.active_fraction for f in known.form if f.active_fraction] if known else []
    return shares[0] if shares else 1.0


def of_carbonate(
    readings: Sequence[tuple[datetime, Reading]], facts: Facts, draws: int
) -> list[tuple[datetime, Event]]:
    """Readings of pH and alkalinity are taken over; a run without both passes them over."""
    events: list[tuple[datetime, Event]] = []
    for quantity in CARBONATE:
        told = [(at, r) for at, r in readings if r.quantity == quantity]
        for turn, (at, reading) in enumerate(reversed(told)):
            values = carbonate_truth(reading, facts, draws, turn)
            events.append((at, Read(quantity=quantity, values=values)))
    return events


def well(room: Room, tank_id: str, now: datetime, facts: Facts) -> bool:
    """Whether the animals were entered as well within the last week: eating, with no sign of bad water."""
    looks = [look for look in room.looks(tank_id) if now - LAST_LOOK <= look.at <= now]
    return bool(looks) and all(_fine(look, facts) for look in looks)


def _fine(look: Look, facts: Facts) -> bool:
    groups = {facts.signs[s].group for s in look.seen if s in facts.signs}
    return look.well is True or (look.eating == "yes" and not groups & DISTRESS)


def stood(record: Record, facts: Facts, until: datetime) -> Array:
    """Weights by "the tank as it stands has stood".

    Parameters
    ----------
    record : Record
        The tank up to `until` without any course.
    facts : Facts
        The limits that a tank with well animals has kept, and the weight of a draw for each kind it breaks.
    until : datetime
        Now.

    Returns
    -------
    array
        A factor for each draw: weight^(kinds broken). The first day, in which the run settles, does
        not count.
    """
    from_, to = record.start + SETTLED, until
    inside = [n for n, m in enumerate(record.minutes) if from_ <= record.start + timedelta(minutes=m) <= to]
    if not inside:
        return np.ones(record.weights.size)
    limit = {
        name: facts.tank[f"stood_{name}"].low for name in ("oxygen", "ammonia", "nitrite", "ph", "weight")
    }
    acid = record.levels("ph")[inside].min(axis=0) if "ph" in record.names else record.ph
    broken = (
        (record.levels("oxygen")[inside].min(axis=0) < limit["oxygen"]).astype(float)
        + (record.levels("nh3_n")[inside].max(axis=0) > limit["ammonia"])
        + (record.levels("nitrite_n")[inside].max(axis=0) > limit["nitrite"])
        + (acid < limit["ph"])
    )
    return np.asarray(limit["weight"] ** broken)


def enough(draws: int, facts: Facts) -> float:
    """How many effective draws are asked for: of fewer draws than 256 as large a part."""
    least = facts.tank["stood_effective"].low
    return min(least, least / 256.0 * draws)


def tempered(log: Array, least: float) -> tuple[Array, float]:
    """Weights that add up to 1, and the exponent that leaves `least` effective draws.

    Parameters
    ----------
    log : array
        Logarithm of each draw's factor.
    least : float
        Effective draws asked for.

    Notes
    -----
    The exponent is the largest up to 1 that does: what was entered then counts for as much less. Of a
    normal likelihood it multiplies the variance by one over it.
    """
    if effective(powered(log, 1.0)) >= least:
        return powered(log, 1.0), 1.0
    low, high = 0.0, 1.0
    for _ in range(EXPONENTS):
        middle = (low + high) / 2
        low, high = (middle, high) if effective(powered(log, middle)) >= least else (low, middle)
    return powered(log, low), low


def powered(log: Array, exponent: float) -> Array:
    """Factors to a power, added up to 1."""
    weights = np.exp(exponent * (log - log.max()))
    return np.asarray(weights / weights.sum())


def resampled(weights: Array, count: int) -> NDArray[np.intp]:
    """Which draws stand for all, each as often as it weighs: `count` of them, alike likely.

    Not taken in their own order: every fourth of the table's draws lies in the same part of a column.
    """
    order = np.argsort(scattered(weights.size, 0))
    reached = np.cumsum(weights[order]) / weights.sum()
    at = np.searchsorted(reached, (np.arange(count) + 0.5) / count)
    return np.asarray(order[np.minimum(at, weights.size - 1)])
