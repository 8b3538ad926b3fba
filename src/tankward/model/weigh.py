"""Which draws to believe: those that explain the readings, and those in which the tank could have stood."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.beliefs import Z95
from tankward.knowledge.known import Facts
from tankward.room.entries.looks import Look
from tankward.room.replay import Room
from tankward.room.things import Reading

from .bands import chance, effective
from .events import Read
from .kits import CARBONATE, KITS, carbonate_truth, span, truth
from .record import Record
from .rows import Array
from .simulate import minutes

SETTLED = timedelta(
    days=1
)  # after a beginning or a reading, before the model's own level can be held against one
SURPRISE = 0.02  # a reading may be plainly wrong: no draw is weighed down further by one of them [memory]
UNEXPLAINED = 0.02  # share of the draws below which nothing here explains a reading [memory]
DISTRESS = frozenset({"breathing", "gills", "swimming", "deaths"})  # groups of signs that speak of bad water
LAST_LOOK = timedelta(days=7)


class Judged(msgspec.Struct, frozen=True):
    """A reading held against the draws: how much each is believed after it, and how many explain it."""

    at: datetime
    reading: Reading
    low: float
    high: float
    explained: float


def reads(
    readings: Sequence[tuple[datetime, Reading]], facts: Facts, draws: int
) -> list[tuple[datetime, Read]]:
    """From each reading on the level is what was read, with the error of its kit; the last one has the
    first draws.
    """
    kept = [(at, r) for at, r in readings if r.quantity in KITS]
    events = []
    for turn, (at, reading) in enumerate(reversed(kept)):
        events.append((at, Read(quantity=reading.quantity, values=truth(reading, facts, draws, turn))))
    return events[::-1] + _of_carbonate(readings, facts, draws)


def _of_carbonate(
    readings: Sequence[tuple[datetime, Reading]], facts: Facts, draws: int
) -> list[tuple[datetime, Read]]:
    """Readings of pH and alkalinity; a run without both passes them over."""
    events = []
    for quantity in CARBONATE:
        told = [(at, r) for at, r in readings if r.quantity == quantity]
        for turn, (at, reading) in enumerate(reversed(told)):
            values = carbonate_truth(reading, facts, draws, turn)
            events.append((at, Read(quantity=quantity, values=values)))
    return events


def explaining(
    record: Record, readings: Iterable[tuple[datetime, Reading]], facts: Facts
) -> tuple[Array, tuple[Judged, ...]]:
    """Weights by the readings, and how each was explained.

    Parameters
    ----------
    record : Record
        A run in which each reading was taken over; the level just before it is the model's own.
    readings : iterable of (instant, reading)
        In order of time.
    facts : Facts
        Errors of the kits.

    Returns
    -------
    tuple
        A factor for each draw, and the readings with the share of draws that explain them.

    Notes
    -----
    Inside the middle 90 % of what a reading allows every draw counts alike; outside it falls off like a
    normal distribution of the same width, never below `SURPRISE` (memory).
    """
    factor = np.ones(record.weights.size)
    judged = []
    settled: dict[str, datetime | None] = dict.fromkeys(KITS, record.start + SETTLED)
    settled["nitrate_n"] = None  # how much there was at the beginning only a first reading can tell
    for at, reading in readings:
        if reading.quantity not in KITS:
            continue
        since = settled[reading.quantity]
        if since is not None and at >= since:
            low, high = span(reading, facts)
            before = record.levels(reading.quantity)[record.minutes.index(minutes(at, record.start))]
            factor *= _likely(before, low, high)
            judged.append(
                Judged(at, reading, low, high, chance((before >= low) & (before <= high), record.weights))
            )
        settled[reading.quantity] = at + SETTLED
    return factor, tuple(judged)


def _likely(level: Array, low: float, high: float) -> Array:
    off = np.maximum(np.maximum(low - level, level - high), 0.0)
    width = max(high - low, 1e-9) / (2 * Z95)
    return np.maximum(np.exp(-0.5 * (off / width) ** 2), SURPRISE)


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


def tempered(factor: Array, facts: Facts) -> tuple[Array, bool]:
    """Weights that add up to 1, and whether what was entered fits together.

    Notes
    -----
    Where too few draws carry all the weight, its square root is taken until enough do (memory).
    """
    row = facts.tank["stood_effective"]
    enough, fits = row.low / 256.0 * factor.size, True
    while effective(factor) < enough:
        factor, fits = np.sqrt(factor), False
    return factor / factor.sum(), fits
