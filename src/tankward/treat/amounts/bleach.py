"""Bleach for empty tanks, tools and nets, and the thiosulfate that ends it. Never in water with animals."""

from __future__ import annotations

ML_PER_L = 1000.0


def bleach_ml(bottle_mg_l: float, target_mg_l: float, volume_l: float) -> float:
    """Bleach that makes this level of chlorine. [mL]"""
    return volume_l * target_mg_l / bottle_mg_l * ML_PER_L


def thiosulfate_mg(chlorine_mg: float, mg_per_mg: float, spare: float = 1.0) -> float:
    """Thiosulfate that binds so much chlorine; `spare` is a factor on top. [mg]

    Notes
    -----
    `mg_per_mg` is 7.0 for the pentahydrate on the slow path 2 S2O3 to 1 Cl2 (DECHLLAB, published-read). Rules
    that give less (5.6, 1.9, 0.88) count on faster paths and leave chlorine behind.
    """
    return chlorine_mg * mg_per_mg * spare
