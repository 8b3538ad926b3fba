"""Copper against the alkalinity of the water."""

from __future__ import annotations

import numpy as np

from .arrays import Array, require
from .atoms import mass_share

PENTAHYDRATE = "CuSO4.5H2O"
COPPER_SHARE = mass_share("Cu", PENTAHYDRATE)
LEAST_ALKALINITY = 50.0
MOST_MG_L = 2.5


def sulfate_by_alkalinity_mg_l(alkalinity_mg_l: Array) -> Array:
    """Copper sulfate pentahydrate by the rule of alkalinity.

    Parameters
    ----------
    alkalinity_mg_l : number or array
        As CaCO3; below 50 there is no safe level. [mg/L]

    Returns
    -------
    number or array
        As the pentahydrate, at most 2.5. [mg/L]

    Raises
    ------
    OutOfRange
        Below 50: the same copper is many times as poisonous there.

    Notes
    -----
    Alkalinity ÷ 100. Source: FA13 (published-read).
    """
    require(alkalinity_mg_l, between=(LEAST_ALKALINITY, 1000), name="alkalinity", unit="mg/L CaCO3")
    out: Array = np.minimum(alkalinity_mg_l / 100, MOST_MG_L)
    return out


def copper_in_pentahydrate(amount: Array) -> Array:
    """Copper in copper sulfate pentahydrate, 25.45 % of it, in the same unit. Source: IUPAC21 (computed)."""
    return amount * COPPER_SHARE


def sulfate_mass_mg(copper_mg_l: Array, volume_l: Array, copper_share: Array = COPPER_SHARE) -> Array:
    """Salt that makes so much copper in so much water. [mg] Source: IUPAC21 (computed)."""
    return copper_mg_l * volume_l / copper_share


def acute_criterion_mg_l(hardness_mg_l: Array) -> Array:
    """Dissolved copper that an hour's mean may reach, by hardness 25 to 400 mg/L. [mg/L as Cu]

    Notes
    -----
    0.960 exp(0.9422 ln H − 1.700) µg/L. Dissolved matter and pH are left out. Source: CFR132
    (published-read).
    """
    require(hardness_mg_l, between=(25, 400), name="hardness", unit="mg/L CaCO3")
    out: Array = 0.960 * np.exp(0.9422 * np.log(hardness_mg_l) - 1.700) / 1000
    return out
