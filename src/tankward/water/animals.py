"""Weight of an animal from its length, and what it breathes."""

from __future__ import annotations

import numpy as np

from .arrays import Array, kelvin, require

O2_MG_PER_MMOL = 31.998
MASS_EXPONENT = 0.79  # CLARKE99, mean over 69 species
BUDGET = (1.0, 1.5, 3.0)  # resting, calm and fed, peak: CLARKE99 with LUCAS92


def mass_g(length_cm: Array, a: Array, b: Array) -> Array:
    """Weight from length: a L^b, the two coefficients from a table of that species or shape. [g]"""
    return a * length_cm**b


def resting_oxygen_50g_mmol_h(temp_c: Array) -> Array:
    """What a resting fish of 50 g breathes: exp(15.7 − 5020 / T). [mmol O2/h]

    Source: CLARKE99 (published-read).
    """
    out: Array = np.exp(15.7 - 5020 / kelvin(temp_c))
    return out


def resting_oxygen_mg_h(fish_g: Array, temp_c: Array) -> Array:
    """What one resting, fasted fish breathes.

    Parameters
    ----------
    fish_g : number or array
        Wet weight, 0.1 g to kilograms. [g]
    temp_c : number or array
        0 to 35; fitted to 30. [°C]

    Returns
    -------
    number or array
        Oxygen. [mg/h]

    Notes
    -----
    R50 (M / 50)^0.79. Between species to a factor of two. A calm fed tank takes 1.5 times, at its peak up to
    3 times this. Source: CLARKE99 (published-read).
    """
    require(temp_c, between=(0, 40), name="temp", unit="C")
    return O2_MG_PER_MMOL * resting_oxygen_50g_mmol_h(temp_c) * (fish_g / 50) ** MASS_EXPONENT


def oxygen_per_gram(coefficient: Array, exponent: Array, fish_g: Array) -> Array:
    """Rate for each gram from a fit a M^b, in the unit of the fit."""
    return coefficient * fish_g ** (exponent - 1)


def oxygen_of_fish(coefficient: Array, exponent: Array, fish_g: Array) -> Array:
    """Rate of one fish from a fit a M^b, in the unit of the fit."""
    return coefficient * fish_g**exponent


def length_at_age_cm(linf_cm: Array, k_per_year: Array, t0_years: Array, age_d: Array) -> Array:
    """Length by the growth curve of von Bertalanffy. [cm]"""
    out: Array = linf_cm * (1 - np.exp(-k_per_year * (age_d / 365.25 - t0_years)))
    return out
