"""Oxygen goes in and out through the surface and the bubbles, towards saturation."""

from __future__ import annotations

from typing import Any

from tankward.model.events import NewWater, Read
from tankward.model.maths import maximum, where
from tankward.model.rows import At, Rows
from tankward.water.oxygen import oxygen_saturation_formula

STATE = ("oxygen_mg",)
DRAWN = {"kla_theta": "kla_theta", "new_water_oxygen": "new_water_oxygen"}
PACE = ("kla_1_h", "full_mg")
STIFF = {"oxygen_mg": "kla_1_h"}  # pulled back at this rate: the integrator takes that part exactly
SCARCE_MG_L = {"oxygen_mg": 1.0}  # below this a pool that is drawn on may empty within a step
KLA_20_C = 20.0


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Exchange at this temperature, and the oxygen that the water holds when full. [1/h, mg]

    Notes
    -----
    kLa(t) = kLa20 θ^(t−20); through the surface it goes as surface over volume. Where the filter stands an
    air stone and the surface are left, without power the still surface alone. Source: CHERN03, BK84
    (published-read); air at sea level.
    """
    stone = where(e.more_air, th.kla_air_20[i], th.kla_stone_20[i])
    still = th.kla_still_20[i] / e.left[i]
    stirred = maximum(where(e.more_air, th.kla_more_20[i], th.kla_20[i]), th.kla_surface_20[i] / e.left[i])
    stirred = where(e.flows, stirred, where(e.powered, maximum(stone, still), still))
    p.kla_1_h[i] = stirred * th.kla_theta[i] ** (e.temp_c[i] - KLA_20_C)
    p.full_mg[i] = oxygen_saturation_formula(e.temp_c[i]) * p.volume_l[i]


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """kLa × what is missing."""
    dy.oxygen_mg[i] += p.kla_1_h[i] * (p.full_mg[i] - y.oxygen_mg[i])


def change(y: Rows, act: Any, th: Rows, i: At) -> None:
    """New water brings nearly its own saturation."""
    brought = act.litres[i] * th.new_water_oxygen[i] * oxygen_saturation_formula(act.temp_c[i])
    y.oxygen_mg[i] += brought - act.gas_share[i] * y.oxygen_mg[i]


def read(y: Rows, act: Any, th: Rows, i: At) -> None:
    """From a reading on, the level is what was read."""
    if act.quantity == "oxygen":
        y.oxygen_mg[i] = act.values[i] * act.volume_l[i]


ACTS = {NewWater: change, Read: read}
