"""Animals breathe by mass, warmth of the water and what they eat, and give carbon dioxide for it."""

from __future__ import annotations

from typing import Any

from tankward.model.maths import exp, maximum, minimum
from tankward.model.rows import At, Rows
from tankward.water.animals import O2_MG_PER_MMOL, resting_oxygen_50g_mmol_h

STATE: tuple[str, ...] = ()
DRAWN = {
    "breath_factor": "breath_factor",
    "breath_fed": "breath_fed",
    "breath_most": "breath_most",
    "oxygen_half_mg_l": "oxygen_half",
}
PACE = ("breath_mg_h",)
LEAST_RATION_MG_H = 1e-9  # where nobody lives nothing is divided by it


def unsure(th: Rows, temp_c: Any, i: At) -> Any:
    """How far off breath may be in water warmer or colder than it was fitted for. [-]"""
    told = minimum(maximum(temp_c, th.breath_from_c[i]), th.breath_to_c[i])
    return exp(th.breath_beyond_1_c[i] * maximum(temp_c - told, told - temp_c))


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Oxygen that the animals take while there is enough. [mg/h]

    Notes
    -----
    exp(15.7 − 5020/T) mmol/h for 50 g, × Σ (M/50)^0.79. Source: CLARKE99 (published-read). Feeding adds to it
    in proportion to the ration: nothing where none is given, up to what a full fish can (memory). In
    water warmer than it was fitted for the line goes on, as fish do breathe more there, and is less sure.
    """
    resting = O2_MG_PER_MMOL * resting_oxygen_50g_mmol_h(e.temp_c[i]) * th.breath_50g[i] * e.stock
    resting = resting * unsure(th, e.temp_c[i], i)
    ration = e.food_mg_h[i] / maximum(e.ration_mg_h[i], LEAST_RATION_MG_H)
    fed = minimum(1.0 + (th.breath_fed[i] - 1.0) * ration, th.breath_most[i])
    p.breath_mg_h[i] = resting * th.breath_factor[i] * fed


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """Breathing slows where oxygen runs out."""
    oxygen = maximum(y.oxygen_mg[i], 0.0) * p.per_l[i]
    taken = p.breath_mg_h[i] * (oxygen / (th.oxygen_half_mg_l[i] + oxygen))
    dy.oxygen_mg[i] -= taken
    dy.co2_mg[i] += th.co2_per_oxygen[i] * taken
