"""Hardness and alkalinity: their units, and the salts that raise them."""

from __future__ import annotations

from tankward.quantities.faults import BadInput

from .arrays import Array
from .atoms import molar_mass

CACO3 = molar_mass("CaCO3")
# mg/L as CaCO3 for one of each unit: HARDTAB (definitions, published-read).
CACO3_PER_UNIT = {
    "mmol_l": CACO3,
    "meq_l": CACO3 / 2,
    "dh": 10 * CACO3 / molar_mass("CaO"),
    "french": 10.0,
    "clark": 14.254,
    "grain_us_gal": 17.118,
}
MG_PER_G = 1000.0


def caco3(value: Array, unit: str) -> Array:
    """Hardness or alkalinity in a unit of `CACO3_PER_UNIT`, as CaCO3. [mg/L]

    Raises
    ------
    BadInput
        If the unit is not known.

    Notes
    -----
    German degrees of general hardness count calcium and magnesium, those of carbonate hardness alkalinity:
    same unit, different thing. Source: HARDTAB (published-read).
    """
    if unit not in CACO3_PER_UNIT:
        raise BadInput("unit", unit, f"is not one of {', '.join(CACO3_PER_UNIT)}.")
    return value * CACO3_PER_UNIT[unit]


def mmol_to_dgh(mmol_l: Array) -> Array:
    """Hardness in mmol/L in German degrees. [dGH] Source: HARDTAB (published-read)."""
    return mmol_l * CACO3_PER_UNIT["mmol_l"] / CACO3_PER_UNIT["dh"]


def bicarbonate_g(rise_mg_l: Array, volume_l: Array) -> Array:
    """Sodium bicarbonate that raises the alkalinity by so much as CaCO3: 1.6787 mg for each mg. [g]

    Notes
    -----
    2 mol for each mol CaCO3; adds no hardness. Source: IUPAC21 (computed). An extension sheet prints 53 g
    where this gives 63.5 g.
    """
    return rise_mg_l * volume_l / MG_PER_G * 2 * molar_mass("NaHCO3") / CACO3


def salt_for_alkalinity_g(rise_mg_l: Array, volume_l: Array, salt: str) -> Array:
    """Any salt of sodium or potassium with carbonate that raises the alkalinity by so much as CaCO3. [g]

    Notes
    -----
    Bicarbonates give one alkalinity for each mol, carbonates two. Source: IUPAC21 (computed).
    """
    each = 2 if "HCO3" in salt else 1
    return rise_mg_l * volume_l / MG_PER_G * each * molar_mass(salt) / CACO3


def salt_for_hardness_g(rise_mg_l: Array, volume_l: Array, salt: str) -> Array:
    """Salt with one calcium or magnesium that raises the hardness by so much as CaCO3. [g]

    Notes
    -----
    1 dGH in 100 L takes 2.62 g CaCl2.2H2O or 4.40 g MgSO4.7H2O. Source: IUPAC21 (computed).
    """
    return rise_mg_l * volume_l / MG_PER_G * molar_mass(salt) / CACO3


def hardness_from_salt_mg_l(salt_g: Array, volume_l: Array, salt: str) -> Array:
    """Hardness that so much salt makes, as CaCO3. [mg/L] Source: IUPAC21 (computed)."""
    return salt_g * MG_PER_G / volume_l * CACO3 / molar_mass(salt)
