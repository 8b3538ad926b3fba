"""How far a reading may be off: the error of the usual kit where the keeper gave no range."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.model.kits import KITS, half_width
from tankward.room.things import Reading

# Kits beside those the model draws from: which one, and how many of its units are one of ours.
MORE_KITS = {
    "ph": ("ph_drops", 1.0),
    "chlorine": ("chlorine_drops", 1.0),
    "temp_c": ("thermometer_glass", 1.0),
    "copper": ("copper_drops", 1.0),
}


def with_kit_error(reading: Reading, facts: Facts) -> tuple[float, float]:
    """The lowest and highest true value behind a reading, without what a whole lot of a kit may be off.

    Parameters
    ----------
    reading : Reading
        Its own range is kept, where it has one.
    facts : Facts
        Errors of the kits (memory).

    Returns
    -------
    tuple
        Low and high; a quantity whose kit is not known keeps its value.
    """
    if reading.low is not None and reading.high is not None:
        return reading.low, reading.high
    known = {**KITS, **MORE_KITS}.get(reading.quantity)
    if known is None:
        return reading.value, reading.value
    kit, scale = facts.kits[known[0]], known[1]
    shown = reading.value * scale
    if shown == 0.0 and kit.zero_means is not None:
        return 0.0, kit.zero_means.high / scale
    off = half_width(kit, shown) / scale
    return max(reading.value - off, 0.0), reading.value + off
