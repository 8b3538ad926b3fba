"""Nitrogen in a tank: food, ammonia, nitrite, nitrate, and what each step takes from the water."""

from __future__ import annotations

import numpy as np

from .arrays import Array, kelvin, require
from .atoms import molar_mass

N = molar_mass("N")
NO2_PER_N = molar_mass("NO2") / N
NO3_PER_N = molar_mass("NO3") / N
CACO3_PER_N = molar_mass("CaCO3") / N  # two acid for each nitrogen
O2_PER_N = 4 * molar_mass("O") / N
O2_PER_NITRITE_N = molar_mass("O") / N
GROWTH_ALKALINITY = 7.07  # with cells grown, mg CaCO3 for each mg N: WWTEXT
GROWTH_OXYGEN = 4.32  # with cells grown, mg O2 for each mg N: GUJER74
GAS_CONSTANT_KJ = 8.314462618e-3
PH_FULL, PH_SLOPE = (
    7.2,
    0.833,
)  # nitrifiers are slower below this pH, by so much for each unit: EPA93 (memory)
TAN_PER_PROTEIN = 0.092  # 0.16 N × 0.80 taken up × 0.80 given off × 0.90 as ammonia: TIMMONS (memory)
TAN_PER_PROTEIN_RANGE = (0.06, 0.11)


def nitrite_as_n(nitrite_mg_l: Array) -> Array:
    """Nitrite counted as the ion, as N. [mg/L] Source: IUPAC21 (computed)."""
    return nitrite_mg_l / NO2_PER_N


def nitrite_ion(nitrite_n_mg_l: Array) -> Array:
    """Nitrite counted as N, as the ion. [mg/L] Source: IUPAC21 (computed)."""
    return nitrite_n_mg_l * NO2_PER_N


def nitrate_as_n(nitrate_mg_l: Array) -> Array:
    """Nitrate counted as the ion, as N. [mg/L] Source: IUPAC21 (computed)."""
    return nitrate_mg_l / NO3_PER_N


def nitrate_ion(nitrate_n_mg_l: Array) -> Array:
    """Nitrate counted as N, as the ion. [mg/L] Source: IUPAC21 (computed)."""
    return nitrate_n_mg_l * NO3_PER_N


def alkalinity_used(n_mg_l: Array, with_growth: bool = False) -> Array:
    """Alkalinity that a filter takes for so much ammonia turned into nitrate.

    Parameters
    ----------
    n_mg_l : number or array
        Nitrogen oxidised. [mg/L]
    with_growth : bool
        Count the ammonia that goes into new cells.

    Returns
    -------
    number or array
        As CaCO3. [mg/L]

    Notes
    -----
    7.146 mg for each mg N (two acid for each nitrogen), 7.07 with growth; 6.3 to 7.4 seen on filters (EPA75).
    Source: WWTEXT (published-read).
    """
    return n_mg_l * (GROWTH_ALKALINITY if with_growth else CACO3_PER_N)


def oxygen_used(n_mg_l: Array, with_growth: bool = False) -> Array:
    """Oxygen for ammonia turned into nitrate, 4.569 mg for each mg N. [mg/L]

    Source: WIESMANN (published-read).
    """
    return n_mg_l * (GROWTH_OXYGEN if with_growth else O2_PER_N)


def oxygen_used_by_nitrite(n_mg_l: Array) -> Array:
    """Oxygen for nitrite turned into nitrate, 1.142 mg for each mg N. [mg/L]

    Source: WIESMANN (published-read).
    """
    return n_mg_l * O2_PER_NITRITE_N


def nitrifier_growth(mu_ref: Array, ea_kj_mol: Array, temp_ref_c: Array, temp_c: Array) -> Array:
    """Growth rate of nitrifiers at another temperature, in the unit of `mu_ref`.

    Parameters
    ----------
    mu_ref : number or array
        Rate at `temp_ref_c`.
    ea_kj_mol : number or array
        68 for ammonia oxidisers, 44 for nitrite oxidisers. [kJ/mol]
    temp_ref_c, temp_c : number or array
        10 to 35. [°C]

    Returns
    -------
    number or array
        Rate at `temp_c`.

    Notes
    -----
    μ(T) = μ(Tr) exp(Ea (T − Tr) / (R T Tr)). Source: VANNECKE14 (published-read).
    """
    require(temp_c, between=(0, 40), name="temp", unit="C")
    t, tr = kelvin(temp_c), kelvin(temp_ref_c)
    out: Array = mu_ref * np.exp(ea_kj_mol * (t - tr) / (GAS_CONSTANT_KJ * t * tr))
    return out


def nitrifier_ph_factor(ph: Array) -> Array:
    """How much slower nitrifiers are in acid water: 1 − 0.833 (7.2 − pH), 0 to 1. [-]

    Source: EPA93 (memory).
    """
    out: Array = np.clip(1.0 - PH_SLOPE * (PH_FULL - ph), 0.0, 1.0)
    return out


def ammonia_from_food(food: Array, protein: Array, per_protein: Array = TAN_PER_PROTEIN) -> Array:
    """Total ammonia nitrogen that fish make of what they are fed, in the unit of mass of `food`.

    Parameters
    ----------
    food : number or array
        As fed.
    protein : number or array
        Share of the food; 0.25 to 0.50 in the feeds behind the coefficient. [-]
    per_protein : number or array
        0.092, range 0.06 to 0.11. [-]

    Returns
    -------
    number or array
        Nitrogen as total ammonia.

    Notes
    -----
    Food that is not eaten ends as ammonia too: 0.16 of its protein. Source: TIMMONS (memory).
    """
    return food * protein * per_protein


def ammonia_from_decay(food: Array, protein: Array) -> Array:
    """Nitrogen in food that rots: 0.16 of its protein, in the unit of mass of `food`.

    Source: TIMMONS (memory).
    """
    return food * protein * 0.16
