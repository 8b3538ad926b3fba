"""What lies on the floor rots into ammonia and takes oxygen: uneaten food, and the dead that stay in."""

from __future__ import annotations

from typing import Any

from tankward.model.events import Died
from tankward.model.maths import maximum
from tankward.model.rows import At, Rows
from tankward.room.acts import Siphon, Transfer

STATE = ("waste_mg",)
DRAWN = {
    "waste_decay_d": "waste_decay",
    "waste_oxygen": "waste_oxygen",
    "body_nitrogen": "body_nitrogen",
    "oxygen_half_mg_l": "oxygen_half",
}
PACE = ("rot_1_h",)


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Rate of decay. [1/h]"""
    p.rot_1_h[i] = th.waste_decay_d[i] / 24.0


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """Nitrogen of waste into ammonia and alkalinity, with the oxygen that its carbon takes."""
    rotten = p.rot_1_h[i] * y.waste_mg[i]
    oxygen = maximum(y.oxygen_mg[i], 0.0) * p.per_l[i]
    dy.waste_mg[i] -= rotten
    dy.tan_mg[i] += rotten
    taken = rotten * th.waste_oxygen[i] * (oxygen / (th.oxygen_half_mg_l[i] + oxygen))
    dy.oxygen_mg[i] -= taken
    dy.co2_mg[i] += th.co2_per_oxygen[i] * taken - th.co2_per_n[i] * rotten
    dy.alkalinity_mg[i] += th.alkalinity_per_n[i] * rotten


def siphon(y: Rows, act: Any, th: Rows, i: At) -> None:
    """Waste goes with the share of the floor that is siphoned."""
    y.waste_mg[i] *= 1.0 - act.floor_share


def clean_tub(y: Rows, act: Any, th: Rows, i: At) -> None:
    """What lies in the old tub stays there."""
    y.waste_mg[i] *= 0.0


def died(y: Rows, act: Any, th: Rows, i: At) -> None:
    """A corpse left in is waste."""
    y.waste_mg[i] += 1000.0 * act.grams * th.body_nitrogen[i]


ACTS = {Siphon: siphon, Transfer: clean_tub, Died: died}
