"""The warmth of the water: towards the heater's set point or the room, in closed form between events."""

from __future__ import annotations

import numpy as np

from .maths import exp, maximum, minimum, where
from .rows import Array, Rows
from .standing import AS_USUAL, Standing

SNAP_C, COARSE_SNAP_C = 1e-3, 0.02  # nearer than this it has arrived


def target(th: Rows, standing: Standing) -> Array:
    """Where the temperature is heading: what the heater is set to, or as far as it can. [°C]"""
    held = standing.heater_c
    if held == AS_USUAL:
        return np.asarray(th.temp_c)
    if held is None:
        return np.asarray(th.room_c)
    can = maximum(th.room_c + th.heating_c_h / th.cooling_1_h, th.temp_c)
    return np.asarray(minimum(maximum(float(held), th.room_c), can))


def after(
    temp_c: Array,
    th: Rows,
    standing: Standing,
    hours: Array | float,
    left: Array | float = 1.0,
    snap_c: float = SNAP_C,
) -> Array:
    """Temperature after so many hours.

    Parameters
    ----------
    temp_c : array
        At the beginning. [°C]
    th : Rows
        cooling_1_h, heating_c_h, room_c, temp_c.
    standing : Standing
        How the heater is set.
    hours : number or array
        0 or more. [h]
    left : array or number
        Water there is, against the full tank: less of it cools and warms faster. [-]
    snap_c : number
        Nearer than this to where it is heading it has arrived. [°C]

    Returns
    -------
    array
        [°C]

    Notes
    -----
    dT/dt = u (room − T) + heating while below the set point, and without heating above it; the set point
    is held once reached, or where the heater is too weak room + heating/u is. Loss through the walls:
    computed; what a heater can do: common practice.
    """
    goal = target(th, standing)
    fading = exp(-th.cooling_1_h * hours / left)
    free = th.room_c + (temp_c - th.room_c) * fading
    ceiling = th.room_c + th.heating_c_h / th.cooling_1_h
    driven = ceiling + (temp_c - ceiling) * fading
    below = where(temp_c < goal, minimum(maximum(driven, temp_c), goal), maximum(free, goal))
    reached = where(np.abs(below - goal) < snap_c, goal, below)
    return np.asarray(reached)


def mixed(temp_c: Array, new_c: Array, share: Array) -> Array:
    """Temperature where so much of the water is new."""
    return np.asarray(temp_c + share * (new_c - temp_c))
