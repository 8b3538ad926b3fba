"""How far a reading may be off: the error of the usual kit where the keeper gave no range."""

from __future__ import annotations

from itertools import pairwise

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kit
from tankward.room.things import Reading

KIT = {
    "ammonia_n": "ammonia_drops",
    "nitrite_n": "nitrite_drops",
    "nitrate_n": "nitrate_drops",
    "ph": "ph_drops",
    "chlorine": "chlorine_drops",
    "oxygen": "oxygen_drops",
    "temp_c": "thermometer_glass",
    "copper": "copper_drops",
}


def with_kit_error(reading: Reading, facts: Facts) -> tuple[float, float]:
    """The lowest and highest true value behind a reading.

    Parameters
    ----------
    reading : Reading
        A range that was given with it is widened by the kit's error as well.
    facts : Facts
        Errors of the kits (memory).

    Returns
    -------
    tuple
        Low and high; a reading without a kit of the facts keeps its own range.
    """
    low = reading.value if reading.low is None else reading.low
    high = reading.value if reading.high is None else reading.high
    if reading.quantity not in KIT:
        return low, high
    kit = facts.kits[KIT[reading.quantity]]
    return max(low - error(kit, low), 0.0), high + error(kit, high)


def error(kit: Kit, value: float) -> float:
    """Half width of the range behind one value of a kit, in its unit. Steps: one of the scale at
    that value.
    """
    if value == 0.0 and kit.zero_means is not None:
        return kit.zero_means.high
    if kit.error.unit in ("steps", "step"):
        return step_at(kit, value)
    return (kit.error.low + kit.error.high) / 2.0


def step_at(kit: Kit, value: float) -> float:
    """Distance to the nearest other mark of the scale."""
    marks = sorted(kit.steps)
    gaps = [b - a for a, b in pairwise(marks) if b >= value] or [marks[-1] - marks[-2]]
    return float(gaps[0])
