"""Plants make oxygen of carbon dioxide in the light and take part of it back in the dark."""

from __future__ import annotations

from tankward.model.maths import maximum, where
from tankward.model.rows import At, Rows

STATE: tuple[str, ...] = ()
DRAWN = {"plants_mg_l_h": "plants_oxygen", "plants_night": "plants_night", "oxygen_half_mg_l": "oxygen_half"}
PACE = ("made_mg_h", "taken_mg_h")
CO2_HALF_MG_L = 0.1  # below it plants go on with bicarbonate, which is not followed [memory]


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Oxygen made by day and taken by night; none where no plant was entered. [mg/h]"""
    there = th.plants_mg_l_h[i] * th.planted[i] * th.volume_l[i]
    p.made_mg_h[i] = where(e.lit, there, 0.0)
    p.taken_mg_h[i] = where(e.lit, 0.0, there * th.plants_night[i])


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """A substance that harms plants holds back what they make, not what they take."""
    oxygen = maximum(y.oxygen_mg[i], 0.0) * p.per_l[i]
    dy.oxygen_mg[i] += p.made_mg_h[i] * x.plants[i]
    taken = p.taken_mg_h[i] * (oxygen / (th.oxygen_half_mg_l[i] + oxygen))
    dy.oxygen_mg[i] -= taken
    co2 = maximum(y.co2_mg[i], 0.0) * p.per_l[i]
    used = p.made_mg_h[i] * x.plants[i] * co2 / (CO2_HALF_MG_L + co2)
    dy.co2_mg[i] += th.co2_per_oxygen[i] * (taken - used)
