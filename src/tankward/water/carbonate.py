"""Carbon dioxide, alkalinity and pH: one balance, asked from three sides.

Equilibrium constants: PB82 (pK1, pK2 published-read; pKH and pKw recalled and checked by PHREEQC). Activity
coefficients: Davies. Humic acid, phosphate and borate count as alkalinity in a test and make the carbon
dioxide too large.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from .ammonia import davies
from .arrays import Array, kelvin, require
from .atoms import molar_mass

CACO3_PER_EQ = molar_mass("CaCO3") / 2  # mg for each meq
CO2 = molar_mass("CO2")
HCO3 = molar_mass("HCO3")
HALVINGS = 60
PH_SPAN = (2.0, 12.5)


def pk1(temp_c: Array) -> Array:
    """First acid constant of carbon dioxide, 0 to 90 °C, as −log10. [-] Source: PB82 (published-read)."""
    t = kelvin(temp_c)
    out: Array = 356.3094 + 0.06091964 * t - 21834.37 / t - 126.8339 * np.log10(t) + 1684915 / t**2
    return out


def pk2(temp_c: Array) -> Array:
    """Second acid constant of carbon dioxide, 0 to 90 °C, as −log10. [-] Source: PB82 (published-read)."""
    t = kelvin(temp_c)
    out: Array = 107.8871 + 0.03252849 * t - 5151.79 / t - 38.92561 * np.log10(t) + 563713.9 / t**2
    return out


def pkh(temp_c: Array) -> Array:
    """Solubility of carbon dioxide, mol/L for each atm, 0 to 90 °C, as −log10. [-] Source: PB82 (memory)."""
    t = kelvin(temp_c)
    out: Array = -(108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * np.log10(t) + 669365 / t**2)
    return out


def pkw(temp_c: Array) -> Array:
    """Ion product of water, 0 to 90 °C, as −log10. [-] Source: PB82 (memory)."""
    t = kelvin(temp_c)
    out: Array = 283.9710 + 0.05069842 * t - 13323.00 / t - 102.24447 * np.log10(t) + 1119669 / t**2
    return out


def co2_saturation_formula(temp_c: Array, ppm: Array) -> Array:
    """Free carbon dioxide of fresh water under air that holds so many ppm of it. [mg/L]

    Source: PB82 (memory).
    """
    out: Array = 10.0 ** -pkh(temp_c) * ppm * 1e-3 * CO2
    return out


def co2_mg_l(ph: Array, alkalinity_mg_l: Array, temp_c: Array, ionic_strength_mol_l: Array = 0.0) -> Array:
    """Free carbon dioxide of water from its pH and alkalinity.

    Parameters
    ----------
    ph : number or array
        5 to 9.5; an error of 0.1 is 26 % of the answer. [-]
    alkalinity_mg_l : number or array
        As CaCO3. [mg/L]
    temp_c : number or array
        0 to 40. [°C]
    ionic_strength_mol_l : number or array
        0 to 0.1. [mol/L]

    Returns
    -------
    number or array
        Carbon dioxide. [mg/L]

    Raises
    ------
    OutOfRange
        If an input lies outside those ranges.

    Notes
    -----
    [HCO3] = Alk / (1 + 2 K2' / aH); [CO2] = [HCO3] aH / K1'. Source: PB82 (published-read). The factor table
    of TUCKER84 comes out within 1.5 % at 5 to 30 °C.
    """
    _in_range(ph, temp_c, ionic_strength_mol_l)
    shift = davies(ionic_strength_mol_l, temp_c)
    carbonate = 2 * 10.0 ** (ph - pk2(temp_c) + 3 * shift)
    bicarbonate_mmol_l = alkalinity_mg_l / CACO3_PER_EQ / (1 + carbonate)
    return bicarbonate_mmol_l * 10.0 ** (pk1(temp_c) - shift - ph) * CO2


def co2_from_bicarbonate_mg_l(ph: Array, bicarbonate_mg_l: Array, temp_c: Array) -> Array:
    """Free carbon dioxide from pH and bicarbonate in fresh water. [mg/L] Source: PB82 (published-read)."""
    _in_range(ph, temp_c, 0.0)
    return bicarbonate_mg_l / HCO3 * 10.0 ** (pk1(temp_c) - ph) * CO2


def _in_range(ph: Array, temp_c: Array, ionic_strength_mol_l: Array) -> None:
    require(ph, between=(5, 9.5), name="ph")
    require(temp_c, between=(0, 40), name="temp", unit="C")
    require(ionic_strength_mol_l, between=(0, 0.1), name="ionic strength", unit="mol/L")


def ph_at_pco2(alkalinity_meq_l: Array, temp_c: Array, log10_pco2_atm: Array) -> Array:
    """pH of water in balance with a gas: the usual case, water that is well aerated.

    Parameters
    ----------
    alkalinity_meq_l : number or array
        50.04 mg/L as CaCO3 make one. [meq/L]
    temp_c : number or array
        0 to 40. [°C]
    log10_pco2_atm : number or array
        −3.38 outdoors (417 ppm); rooms 600 to 1500 ppm. [-]

    Returns
    -------
    number or array
        pH. [-]

    Notes
    -----
    Alk = [HCO3] + 2 [CO3] + [OH] − [H] with [CO2] = KH pCO2, solved by halving. Source:
    PHREEQC as check, within 0.02 (computed).
    """
    require(temp_c, between=(0, 40), name="temp", unit="C")
    shift = davies(alkalinity_meq_l / 1000, temp_c)
    co2 = 10.0 ** (log10_pco2_atm - pkh(temp_c))

    def missing(ph: Array) -> Array:
        bicarbonate = co2 * 10.0 ** (ph - pk1(temp_c) + shift)
        return _charge(ph, bicarbonate, temp_c, shift) - alkalinity_meq_l / 1000

    return _root(missing, alkalinity_meq_l, temp_c, log10_pco2_atm)


def ph_after_acid_closed(
    alkalinity_meq_l: Array, acid_meq_l: Array, temp_c: Array, log10_pco2_start_atm: Array
) -> Array:
    """pH after acid, when no carbon dioxide can leave: the worst case of a crash.

    Parameters
    ----------
    alkalinity_meq_l, acid_meq_l : number or array
        Before, and what is added (nitrification makes 0.143 for each mg/L N). [meq/L]
    temp_c : number or array
        0 to 40. [°C]
    log10_pco2_start_atm : number or array
        The gas that the water stood under before. [-]

    Returns
    -------
    number or array
        pH. [-]

    Notes
    -----
    The sum of carbon stays, the alkalinity falls by the acid; same balance. With air the fall is far smaller:
    `ph_at_pco2` at the lower alkalinity. Source: PHREEQC as check, within 0.03 (computed).
    """
    shift = davies(alkalinity_meq_l / 1000, temp_c)
    start = ph_at_pco2(alkalinity_meq_l, temp_c, log10_pco2_start_atm)
    co2 = 10.0 ** (log10_pco2_start_atm - pkh(temp_c))
    carbon = co2 * _carbon_per_co2(start, temp_c, shift)

    def missing(ph: Array) -> Array:
        bicarbonate = carbon / _carbon_per_co2(ph, temp_c, shift) * 10.0 ** (ph - pk1(temp_c) + shift)
        return _charge(ph, bicarbonate, temp_c, shift) - (alkalinity_meq_l - acid_meq_l) / 1000

    return _root(missing, alkalinity_meq_l, acid_meq_l, temp_c, log10_pco2_start_atm)


def ph_of_mixture(
    ph: Array, alkalinity_mg_l: Array, new_ph: Array, new_alkalinity_mg_l: Array, share: Array, temp_c: Array
) -> Array:
    """pH of two fresh waters mixed, before any carbon dioxide comes or goes.

    Parameters
    ----------
    ph, alkalinity_mg_l : number or array
        Of the water that stays; 5 to 9.5, as CaCO3. [-], [mg/L]
    new_ph, new_alkalinity_mg_l : number or array
        Of what comes in. [-], [mg/L]
    share : number or array
        Of new water in the whole, 0 to 1. [-]
    temp_c : number or array
        0 to 40. [°C]

    Returns
    -------
    number or array
        pH. [-]

    Raises
    ------
    OutOfRange
        If an input lies outside those ranges.

    Notes
    -----
    Alkalinity and the sum of carbon mix straight, pH never does; same balance as `ph_at_pco2`. Source:
    PHREEQC as check, within 0.03 (computed).
    """
    old, new = (
        _carbon_mol_l(one, alk, temp_c) for one, alk in ((ph, alkalinity_mg_l), (new_ph, new_alkalinity_mg_l))
    )
    carbon = old * (1 - share) + new * share
    meq_l = (alkalinity_mg_l * (1 - share) + new_alkalinity_mg_l * share) / CACO3_PER_EQ
    shift = davies(meq_l / 1000, temp_c)

    def missing(ph: Array) -> Array:
        bicarbonate = carbon / _carbon_per_co2(ph, temp_c, shift) * 10.0 ** (ph - pk1(temp_c) + shift)
        return _charge(ph, bicarbonate, temp_c, shift) - meq_l / 1000

    return _root(missing, meq_l, carbon, temp_c)


def _carbon_mol_l(ph: Array, alkalinity_mg_l: Array, temp_c: Array) -> Array:
    """All carbon of a fresh water, from its pH and alkalinity. [mol/L]"""
    _in_range(ph, temp_c, 0.0)
    meq_l = alkalinity_mg_l / CACO3_PER_EQ
    shift = davies(meq_l / 1000, temp_c)
    water = 10.0 ** (ph - pkw(temp_c) + shift) - 10.0 ** (shift - ph)
    bicarbonate = np.maximum(meq_l / 1000 - water, 0.0) / (1 + 2 * 10.0 ** (ph - pk2(temp_c) + 3 * shift))
    carbon: Array = bicarbonate * 10.0 ** (pk1(temp_c) - shift - ph) * _carbon_per_co2(ph, temp_c, shift)
    return carbon


def _charge(ph: Array, bicarbonate: Array, temp_c: Array, shift: Array) -> Array:
    carbonate = bicarbonate * 10.0 ** (ph - pk2(temp_c) + 3 * shift)
    return bicarbonate + 2 * carbonate + 10.0 ** (ph - pkw(temp_c) + shift) - 10.0 ** (shift - ph)


def _carbon_per_co2(ph: Array, temp_c: Array, shift: Array) -> Array:
    bicarbonate = 10.0 ** (ph - pk1(temp_c) + shift)
    return 1 + bicarbonate * (1 + 10.0 ** (ph - pk2(temp_c) + 3 * shift))


def _root(missing: Callable[[Array], Array], *like: Array) -> Array:
    shape = np.broadcast(*[np.asarray(x, dtype=float) for x in like]).shape
    low, high = np.full(shape, PH_SPAN[0]), np.full(shape, PH_SPAN[1])
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        above = np.asarray(missing(middle)) > 0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    out: Array = (low + high) / 2
    return float(out) if shape == () else out
