"""Animals breathe by their mass and the warmth of the water, and give carbon dioxide for it."""

from __future__ import annotations

from tankward.model.maths import maximum
from tankward.model.rows import At, Rows
from tankward.water.animals import O2_MG_PER_MMOL, resting_oxygen_50g_mmol_h

STATE: tuple[str, ...] = ()
DRAWN = {
    "breath_factor": "breath_factor",
    "breath_fed": "breath_fed",
    "oxygen_half_mg_l": "oxygen_half",
}
PACE = ("breath_mg_h",)


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Oxygen that the animals take while there is enough. [mg/h]

    Notes
    -----
    exp(15.7 − 5020/T) mmol/h for 50 g, × Σ (M/50)^0.79, × what feeding adds. Source: CLARKE99
    (published-read).
    """
    resting = O2_MG_PER_MMOL * resting_oxygen_50g_mmol_h(e.temp_c[i]) * th.breath_50g[i] * e.stock
    p.breath_mg_h[i] = resting * th.breath_factor[i] * th.breath_fed[i]


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """Breathing slows where oxygen runs out."""
    oxygen = maximum(y.oxygen_mg[i], 0.0) * p.per_l[i]
    taken = p.breath_mg_h[i] * oxygen / (th.oxygen_half_mg_l[i] + oxygen)
    dy.oxygen_mg[i] -= taken
    dy.co2_mg[i] += th.co2_per_oxygen[i] * taken
