"""What a reading says of the truth: the steps of the card, the error of the eye, the error of the lot."""

from __future__ import annotations

import numpy as np

from tankward.knowledge.beliefs import Z95, drawn, estimated, normal
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kit
from tankward.quantities.parse import Estimate
from tankward.room.things import Reading
from tankward.water.ammonia import NH3_PER_N
from tankward.water.nitrogen import NO2_PER_N, NO3_PER_N

from .draws import COUNTS, uniform
from .rows import Array

# Which kit a keeper is taken to have read with, and how many of its mg/L are one mg/L as it is kept here.
KITS = {
    "ammonia_n": ("ammonia_drops", NH3_PER_N),
    "nitrite_n": ("nitrite_drops", NO2_PER_N),
    "nitrate_n": ("nitrate_drops", NO3_PER_N),
    "oxygen": ("oxygen_drops", 1.0),
}


def truth(reading: Reading, facts: Facts, draws: int, turn: int = 0) -> Array:
    """What the water may hold when a kit shows this. [mg/L]

    Parameters
    ----------
    reading : Reading
        Of ammonia, nitrite, nitrate or oxygen; with a range of its own, that range is taken.
    facts : Facts
        The kits: half width of the middle 90 % of readings in steps or mg/L, factor of a lot, what a
        zero hides.
    draws : int
        How many.
    turn : int
        Another number for each further reading.

    Returns
    -------
    array
        A value for each draw.
    """
    u = uniform(f"reading_{reading.quantity}", draws, turn)
    if reading.low is not None and reading.high is not None and reading.high > reading.low:
        return estimated(Estimate(reading.value, reading.low, reading.high), u)
    kit_id, scale = KITS[reading.quantity]
    kit = facts.kits[kit_id]
    lot = drawn(kit.lot, uniform(f"reading_{reading.quantity}", draws, turn + COUNTS[-1]))
    shown = reading.value * scale
    if shown == 0.0 and kit.zero_means is not None:
        return kit.zero_means.high * u / scale
    seen = np.maximum(shown + half_width(kit, shown) * normal(u) / Z95, 0.0)
    return np.asarray(seen / lot / scale)


def half_width(kit: Kit, shown: float) -> float:
    """How far 90 % of readings lie from the truth, in the kit's own mg/L."""
    middle = (kit.error.low + kit.error.high) / 2
    return middle * (step_at(kit, shown) if kit.error.unit == "steps" else 1.0)


def step_at(kit: Kit, shown: float) -> float:
    """The step of the card around a value."""
    gaps = np.diff(np.array(kit.steps))
    at = int(np.clip(np.searchsorted(kit.steps, shown) - 1, 0, len(gaps) - 1))
    return float(gaps[at])


def span(reading: Reading, facts: Facts) -> tuple[float, float]:
    """The middle 90 % of what the water may hold. [mg/L]"""
    low, high = np.quantile(truth(reading, facts, COUNTS[-1]), [0.05, 0.95])
    return float(low), float(high)
