"""Some substances take oxygen themselves, at once to within a day."""

from __future__ import annotations

from typing import Any

from tankward.model.events import Added, NewWater
from tankward.model.maths import maximum
from tankward.model.rows import At, Rows

STATE = ("demand_mg",)
DRAWN = {"demand_half_h": "oxygen_taken", "oxygen_half_mg_l": "oxygen_half", "mixing_1_h": "mixing"}
PACE = ("demand_1_h",)
LN2 = 0.6931471805599453


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Rate at which the oxygen is taken. [1/h]"""
    p.demand_1_h[i] = LN2 / th.demand_half_h[i]


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """Oxygen still to be taken by what was dosed: as fast as it asks for, and never faster than what there
    is comes by. What is not met stays to be taken.
    """
    oxygen = maximum(y.oxygen_mg[i], 0.0)
    asked = p.demand_1_h[i] * y.demand_mg[i]
    few = th.oxygen_half_mg_l[i] * p.volume_l[i] + asked / th.mixing_1_h[i]
    taken = asked * oxygen / (few + oxygen)
    dy.demand_mg[i] -= taken
    dy.oxygen_mg[i] -= taken
    dy.co2_mg[i] += th.co2_per_oxygen[i] * taken


def added(y: Rows, act: Any, th: Rows, i: At) -> None:
    """Each dose brings its own need of oxygen."""
    y.demand_mg[i] += act.oxygen_mg[i]


def change(y: Rows, act: Any, th: Rows, i: At) -> None:
    """It goes with the water."""
    y.demand_mg[i] *= 1.0 - act.share[i]


ACTS = {Added: added, NewWater: change}
