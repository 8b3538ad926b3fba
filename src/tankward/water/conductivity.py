"""What a conductivity meter says of the salt in the water."""

from __future__ import annotations

import numpy as np

from .arrays import Array, require
from .atoms import molar_mass

NACL = molar_mass("NaCl")
# Slope of sodium chloride in hard water against pure water: PHREEQC, recomputed for calcium bicarbonate
# waters.
BACKGROUND_US_CM = (0.0, 110.0, 500.0, 1100.0, 4000.0)
BACKGROUND_FACTOR = (1.00, 0.98, 0.95, 0.92, 0.87)
MOST_NACL_MOL_L = 0.1
HALVINGS = 60


def factor_to_25c(temp_c: Array) -> Array:
    """Factor that turns a conductivity read at a temperature into that at 25 °C, natural waters.

    Parameters
    ----------
    temp_c : number or array
        0 to 36. [°C]

    Returns
    -------
    number or array
        [-]

    Notes
    -----
    exp(−0.0210140 x + 1.539790e-4 x² − 1.875589e-6 x³), x = t − 25: fitted to the table of ISO7888
    (computed); tenths of a degree that were not fitted agree within 0.0011.
    """
    require(temp_c, between=(0, 36), name="temp", unit="C")
    x = temp_c - 25
    out: Array = np.exp(-0.0210140 * x + 1.539790e-4 * x**2 - 1.875589e-6 * x**3)
    return out


def nacl_us_cm(nacl_mol_l: Array) -> Array:
    """Conductivity of sodium chloride in pure water at 25 °C, 0 to 0.1 mol/L. [µS/cm]

    Notes
    -----
    Λ = Λ0 − (B1 Λ0 + B2) √c / (1 + B a √c) with Λ0 = 126.45, B1 = 0.2300, B2 = 60.65, B a = 1.3164.
    Source: RS55 (memory; the values of NCERT come out within 0.3 %).
    """
    require(nacl_mol_l, between=(0, MOST_NACL_MOL_L), name="salt", unit="mol/L")
    root = np.sqrt(nacl_mol_l)
    molar = 126.45 - (0.2300 * 126.45 + 60.65) * root / (1 + 0.3291 * 4.0 * root)
    out: Array = molar * nacl_mol_l * 1000
    return out


def nacl_rise_us_cm(nacl_mg_l: Array) -> Array:
    """What so much sodium chloride adds in nearly pure water at 25 °C. [µS/cm] Source: RS55 (memory)."""
    return nacl_us_cm(nacl_mg_l / 1000 / NACL)


def nacl_mg_l_from_rise(rise_us_cm: Array, background_us_cm: Array = 0.0) -> Array:
    """Sodium chloride behind a rise of conductivity at 25 °C over a background.

    Parameters
    ----------
    rise_us_cm, background_us_cm : number or array
        Both at 25 °C. [µS/cm]

    Returns
    -------
    number or array
        [mg/L]

    Notes
    -----
    In hard water the same salt adds less: 2 % at 110 µS/cm, 5 % at 500, 8 % at 1100, 13 % at 4000. Solved by
    halving. Sources: RS55 (memory), PHREEQC (computed).
    """
    wanted = np.asarray(rise_us_cm / np.interp(background_us_cm, BACKGROUND_US_CM, BACKGROUND_FACTOR))
    most = float(nacl_us_cm(MOST_NACL_MOL_L))
    require(wanted, between=(0, most), name="conductivity", unit="uS/cm")
    low, high = np.zeros_like(wanted), np.full_like(wanted, MOST_NACL_MOL_L)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        above = np.asarray(nacl_us_cm(middle)) > wanted
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    out: Array = (low + high) / 2 * NACL * 1000
    return float(out) if np.ndim(out) == 0 else out


def volume_from_salt_l(salt_g: Array, before_us_cm: Array, after_us_cm: Array) -> Array:
    """Water in a tank from what a known mass of salt does to its conductivity.

    Parameters
    ----------
    salt_g : number or array
        Dry sodium chloride without additives. [g]
    before_us_cm, after_us_cm : number or array
        At 25 °C, on one meter. [µS/cm]

    Returns
    -------
    number or array
        [L]

    Notes
    -----
    mass ÷ rise of concentration. Good to 5 to 13 % in hard water; a jar of the same water does better
    (`volume_by_jar_l`). Sources: RS55 (memory), PHREEQC (computed).
    """
    return salt_g * 1000 / nacl_mg_l_from_rise(after_us_cm - before_us_cm, before_us_cm)


def volume_by_jar_l(
    salt_g: Array, rise_us_cm: Array, jar_salt_g: Array, jar_rise_us_cm: Array, jar_volume_l: Array = 1.0
) -> Array:
    """Water in a tank from the same salt in a jar of that water: no constant is needed. [L]

    Notes
    -----
    (salt ÷ jar salt) × (jar rise ÷ rise) × jar. Source: GEOM (computed).
    """
    return salt_g / jar_salt_g * jar_rise_us_cm / rise_us_cm * jar_volume_l


def practical_salinity(conductance_us_cm: Array) -> Array:
    """Salinity of diluted sea water from its conductivity at 25 °C, 2 to 42.

    Parameters
    ----------
    conductance_us_cm : number or array
        [µS/cm]

    Returns
    -------
    number or array
        Practical salinity, near g/kg. [-]

    Notes
    -----
    A polynomial in R = SC / 53087. In fresh tap water it means nothing: other ions. Source: SCHEMEL01
    (published-read).
    """
    r = conductance_us_cm / 53087
    out: Array = 0.0120 - 0.2174 * r**0.5 + 25.3283 * r + 13.7714 * r**1.5 - 6.4788 * r**2 + 2.5842 * r**2.5
    return out
