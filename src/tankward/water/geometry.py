"""Sizes of a tank into litres of water. All sizes are inner ones, in cm, unless the name says otherwise.

Source: GEOM (geometry). The tape measure is good to 1 to 2 %; outer sizes and the height of the rim give
10 to 20 % too much.
"""

from __future__ import annotations

import numpy as np

from .arrays import Array

CM3_PER_L = 1000.0


def box_area(length_cm: Array, width_cm: Array) -> Array:
    """Floor of a box. [cm²]"""
    return length_cm * width_cm


def cylinder_area(diameter_cm: Array) -> Array:
    """Floor of a round tank: π d² / 4. [cm²]"""
    area: Array = np.pi * diameter_cm**2 / 4
    return area


def hexagon_area(side_cm: Array) -> Array:
    """Floor of a tank with six like sides: (3 √3 / 2) s². [cm²]"""
    area: Array = 1.5 * np.sqrt(3.0) * side_cm**2
    return area


def hexagon_side(across_flats_cm: Array) -> Array:
    """Side of a regular hexagon from the distance between opposite sides. [cm]"""
    side: Array = across_flats_cm / np.sqrt(3.0)
    return side


def bow_area(length_cm: Array, width_cm: Array, rise_cm: Array) -> Array:
    """Floor of a tank with a curved front: a box and a segment of a circle.

    Parameters
    ----------
    length_cm : number or array
        Along the back. [cm]
    width_cm : number or array
        Front to back at the sides. [cm]
    rise_cm : number or array
        How much further the front stands out in the middle; up to half the length. [cm]

    Returns
    -------
    number or array
        Area. [cm²]

    Notes
    -----
    R = (w²/4 + r²) / 2r; segment = R²/2 (θ − sin θ) with θ = 2 asin(w / 2R). Source: GEOM (computed).
    """
    radius = (length_cm**2 / 4 + rise_cm**2) / (2 * rise_cm)
    theta = 2 * np.arcsin(length_cm / (2 * radius))
    area: Array = length_cm * width_cm + radius**2 / 2 * (theta - np.sin(theta))
    return area


def column_l(area_cm2: Array, height_cm: Array) -> Array:
    """Litres over a floor up to a height."""
    return area_cm2 * height_cm / CM3_PER_L


def water_in_substrate_l(area_cm2: Array, depth_cm: Array, porosity: Array) -> Array:
    """Water between the grains: area × depth × porosity. [L]"""
    return area_cm2 * depth_cm * porosity / CM3_PER_L


def grains_l(area_cm2: Array, depth_cm: Array, porosity: Array) -> Array:
    """What the grains themselves push away: area × depth × (1 − porosity). [L]"""
    return area_cm2 * depth_cm * (1 - porosity) / CM3_PER_L
