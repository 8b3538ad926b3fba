"""Fish turn the protein they eat into ammonia, spread over the day; what they leave lies and rots."""

from __future__ import annotations

from tankward.model.maths import maximum
from tankward.model.rows import At, Rows

STATE: tuple[str, ...] = ()
DRAWN = {
    "feed_protein": "feed_protein",
    "uneaten": "uneaten",
    "tan_per_protein": "tan_per_protein",
    "protein_nitrogen": "protein_nitrogen",
    "fasting_share": "fasting_share",
}
PACE = ("excreted_mg_h", "left_mg_h")


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Ammonia given off and nitrogen left lying. [mg N/h]

    Notes
    -----
    Food × protein × share eaten × tan_per_protein, never below `fasting_share` of what the usual ration
    gives. Source: TIMMONS (memory), WOOD93 (published-read). Meals are spread over the day: their hours
    are not known.
    """
    protein = e.food_mg_h[i] * th.feed_protein[i]
    usual = e.ration_mg_h[i] * th.feed_protein[i]
    eaten = 1.0 - th.uneaten[i]
    fasted = usual * th.fasting_share[i]
    p.excreted_mg_h[i] = maximum(protein, fasted) * eaten * th.tan_per_protein[i]
    p.left_mg_h[i] = protein * th.uneaten[i] * th.protein_nitrogen[i]


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """Into total ammonia, with the alkalinity of its bicarbonate, and into what lies."""
    dy.tan_mg[i] += p.excreted_mg_h[i]
    dy.alkalinity_mg[i] += th.alkalinity_per_n[i] * p.excreted_mg_h[i]
    dy.co2_mg[i] -= th.co2_per_n[i] * p.excreted_mg_h[i]
    dy.waste_mg[i] += p.left_mg_h[i]
