"""Formalin is counted by volume: microlitres of the 37 % solution, taken as 100 %, per litre of water."""

from __future__ import annotations

MG_FORMALDEHYDE_PER_UL = (
    0.37  # FORMLBL: the convention of labels and papers; by weight and density it is 0.40
)
UL_PER_MG_OXYGEN = 5.0  # FHM p. 276: about 1 mg/L of oxygen for each 5 uL/L


def formaldehyde_mg_l(formalin_ul_l: float, mg_per_ul: float = MG_FORMALDEHYDE_PER_UL) -> float:
    """Formaldehyde in water that holds so much formalin. [mg/L]"""
    return formalin_ul_l * mg_per_ul


def oxygen_taken_mg_l(formalin_ul_l: float) -> float:
    """Oxygen that formalin can take from the water over 30 to 36 h. [mg/L]"""
    return formalin_ul_l / UL_PER_MG_OXYGEN


def product_ml(level_ul_l: float, volume_l: float) -> float:
    """Liquid that makes a level counted by volume. [mL]"""
    return level_ul_l * volume_l / 1000.0
