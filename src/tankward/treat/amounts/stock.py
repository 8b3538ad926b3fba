"""Stock bottles and dilutions: so much in the bottle that one portion is one dose."""

from __future__ import annotations

import math


def stock_mg(dose_mg: float, portion_ml: float, bottle_ml: float) -> float:
    """Active for a bottle of which one portion holds one dose. [mg]"""
    return dose_mg * bottle_ml / portion_ml


def concentrate_ml(have_mg_l: float, want_mg_l: float, make_ml: float) -> float:
    """Concentrate to fill up with water to `make_ml`. [mL]"""
    return make_ml * want_mg_l / have_mg_l


def fits_in(mg: float, water_ml: float, solubility_g_l: float | None) -> bool:
    """Whether so much dissolves in so much water; unknown solubility does not stop anybody here."""
    return solubility_g_l is None or mg <= solubility_g_l * water_ml * (1 + 1e-9)


def least_water_ml(mg: float, solubility_g_l: float) -> float:
    """Water in which so much just dissolves, up to the next 100 mL. [mL]"""
    return math.ceil(mg / solubility_g_l / 100 - 1e-9) * 100.0
