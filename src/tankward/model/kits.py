"""What a reading says of the truth: the steps of the card, the error of the eye, the error of the lot."""

from __future__ import annotations

import numpy as np

from tankward.knowledge.beliefs import Z95, drawn, estimated, normal, quantile
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kit
from tankward.quantities.parse import Estimate
from tankward.quantities.units import DH_MG_L
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
    "copper": ("copper_drops", 1.0),
}
BORROWED = {"copper": ("oxygen", 64)}  # what has no column of its own: from which, turned by how much


def truth(reading: Reading, facts: Facts, draws: int, turn: int = 0) -> Array:
    """What the water may hold when a kit shows this. [mg/L]

    Parameters
    ----------
    reading : Reading
        Of ammonia, nitrite, nitrate, oxygen or copper; with a range of its own, that range is taken.
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
    column, turned = BORROWED.get(reading.quantity, (reading.quantity, 0))
    column, turn = f"reading_{column}", turn + turned
    u = uniform(column, draws, turn)
    if reading.low is not None and reading.high is not None and reading.high > reading.low:
        return estimated(Estimate(reading.value, reading.low, reading.high), u)
    found = read_with(reading, facts)
    assert found is not None
    kit, scale = found
    lot = drawn(kit.lot, uniform(column, draws, turn + COUNTS[-1]))
    shown = reading.value * scale
    if shown == 0.0 and kit.zero_means is not None:
        return kit.zero_means.high * u / scale
    off = half_width(kit, shown, card_of(reading.quantity, facts))
    seen = np.maximum(shown + off * normal(u) / Z95, 0.0)
    return np.asarray(seen / lot / scale)


CARBONATE = ("kh", "ph")  # taken over where both are known; held against nothing: the beginning rests on them
USUAL_KH_KIT = "dkh_drops"


def alkalinity(reading: Reading, facts: Facts) -> Estimate:
    """What the water may hold when a kit shows this alkalinity. [mg/L as CaCO3]"""
    if reading.low is not None and reading.high is not None and reading.high > reading.low:
        return Estimate(reading.value, reading.low, reading.high)
    kit = facts.kits[reading.kit if reading.kit in facts.kits else USUAL_KH_KIT]
    off = half_width(kit, reading.value * OWN_UNIT["kh"]) / OWN_UNIT["kh"]
    low, high = (reading.value - off) / kit.lot.high, (reading.value + off) / kit.lot.low
    return Estimate(reading.value, max(low, 0.0), high)


def carbonate_truth(reading: Reading, facts: Facts, draws: int, turn: int = 0) -> Array:
    """pH or alkalinity in each draw; of the last reading the same numbers as at the beginning."""
    if reading.quantity == "kh":
        return estimated(alkalinity(reading, facts), uniform("reading_kh", draws, turn))
    low = reading.value if reading.low is None else reading.low
    high = reading.value if reading.high is None else reading.high
    return acidity(Estimate(reading.value, low, high), facts, uniform("ph", draws, turn))


def acidity(about: Estimate, facts: Facts, u: Array) -> Array:
    """pH as told, off by what drops are off where no range was told. [-]"""
    off = facts.kits["ph_drops"].error.high
    return estimated(about, u) if about.ranged else quantile(about.value - off, about.value + off, "pH", u)


# Kits that count in another unit than a reading is kept in: how many of theirs are one of ours.
OWN_UNIT = {"kh": 1 / float(DH_MG_L), "gh": 1 / float(DH_MG_L)}


def read_with(reading: Reading, facts: Facts) -> tuple[Kit, float] | None:
    """The kit of a reading, and how many of its units are one of ours: the one named, else the usual one.

    None where neither is known.
    """
    usual, scale = KITS.get(reading.quantity, ("", OWN_UNIT.get(reading.quantity, 1.0)))
    kit = facts.kits.get(reading.kit or usual)
    return None if kit is None else (kit, scale)


def card_of(quantity: str, facts: Facts) -> tuple[float, ...]:
    """The steps of the card of drops for a quantity: for strips, whose own steps are not known."""
    return next((k.steps for k in facts.kits.values() if k.quantities == (quantity,) and k.steps), ())


def half_width(kit: Kit, shown: float, card: tuple[float, ...] = ()) -> float:
    """How far 90 % of readings lie from the truth, in the kit's own unit.

    Parameters
    ----------
    kit : Kit
        Its error, in steps, drops, the kit's own unit, or as a share ("1").
    shown : float
        What it showed. [the kit's own unit]
    card : tuple of float
        Steps to take where the kit has none of its own.
    """
    middle = (kit.error.low + kit.error.high) / 2
    if kit.error.unit == "steps":
        return middle * step_at(kit.steps or card, shown)
    return middle * (shown if kit.error.unit == "1" else 1.0)


def step_at(steps: tuple[float, ...], shown: float) -> float:
    """The step of the card around a value; one unit where no card is known."""
    if len(steps) < 2:
        return 1.0
    gaps = np.diff(np.array(steps))
    at = int(np.clip(np.searchsorted(steps, shown) - 1, 0, len(gaps) - 1))
    return float(gaps[at])


def span(reading: Reading, facts: Facts) -> tuple[float, float]:
    """The middle 90 % of what the water may hold. [mg/L]"""
    low, high = np.quantile(truth(reading, facts, COUNTS[-1]), [0.05, 0.95])
    return float(low), float(high)
