"""How far a reading may be off: the error of its kit, of the usual one where none is named."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.kits import card_of, half_width, read_with
from tankward.room.things import Reading

# Usual kits beside those the model draws from.
USUAL = {
    "ph": "ph_drops",
    "chlorine": "chlorine_drops",
    "temp_c": "thermometer_glass",
    "copper": "copper_drops",
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
    named = msgspec.structs.replace(reading, kit=reading.kit or USUAL.get(reading.quantity, ""))
    found = read_with(named, facts)
    if found is None:
        return reading.value, reading.value
    kit, scale = found
    shown = reading.value * scale
    if shown == 0.0 and kit.zero_means is not None:
        return 0.0, kit.zero_means.high / scale
    off = half_width(kit, shown, card_of(reading.quantity, facts)) / scale
    return max(reading.value - off, 0.0), reading.value + off


def as_owned(values: Iterable[Reading], owned: Iterable[str], facts: Facts) -> tuple[Reading, ...]:
    """Readings with the kit that the keeper owns for each; of several the least exact, if none is named."""
    kits = [facts.kits[k] for k in owned if k in facts.kits]
    return tuple(_as_owned(r, [k.id for k in kits if r.quantity in k.quantities], facts) for r in values)


def _as_owned(reading: Reading, mine: list[str], facts: Facts) -> Reading:
    if reading.kit or not mine:
        return reading
    tried = [msgspec.structs.replace(reading, kit=k) for k in mine]
    return max(tried, key=lambda r: with_kit_error(r, facts)[1])
