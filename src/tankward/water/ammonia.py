"""How much of the ammonia is the poisonous part, and what a river may hold."""

from __future__ import annotations

import numpy as np

from .arrays import ZERO_C_IN_K, Array, require
from .atoms import molar_mass

NH3_PER_N = molar_mass("NH3") / molar_mass("N")
NH4_PER_N = molar_mass("NH4") / molar_mass("N")


def davies(ionic_strength_mol_l: Array, temp_c: Array) -> Array:
    """Negative logarithm of the activity coefficient of a single charge, up to 0.1 mol/L. [-]

    Notes
    -----
    A (√I / (1 + √I) − 0.3 I), A = 0.4883 + 8.074e-4 t. Source: EMERSON75 with PHREEQC as
    check (published-read).
    """
    root = np.sqrt(ionic_strength_mol_l)
    slope = 0.4883 + 8.074e-4 * temp_c
    shift: Array = slope * (root / (1 + root) - 0.3 * ionic_strength_mol_l)
    return shift


def unionised_share(ph: Array, temp_c: Array, ionic_strength_mol_l: Array = 0.0) -> Array:
    """Share of the total ammonia that is un-ionised NH3.

    Parameters
    ----------
    ph : number or array
        As an electrode or a drop test reads it, 5 to 11. [-]
    temp_c : number or array
        Water temperature, 0 to 50. [°C]
    ionic_strength_mol_l : number or array
        0 for fresh water; up to 0.1 (about 5 g/L salt). [mol/L]

    Returns
    -------
    number or array
        Share by amount of substance, so the same for readings as N and as NH3. [-]

    Raises
    ------
    OutOfRange
        If any input lies outside the range of the source.

    Notes
    -----
    1 / (1 + 10^(pKa + d − pH)), pKa = 0.09018 + 2729.92 / T. One restatement prints 2727.92; the table FA16
    agrees with 2729.92. Salt lowers the share a little; with d = 0 the share is slightly too large:
    the safe side, and what every limit is judged by. The table of Trussell (1972) lies 0 to 3 % lower.
    Source: EMERSON75 (published-read); d from the Davies equation, PHREEQC as check.
    """
    require(ph, between=(5, 11), name="ph")
    require(temp_c, between=(0, 50), name="temp", unit="C")
    require(ionic_strength_mol_l, between=(0, 0.1), name="ionic strength", unit="mol/L")
    return unionised_share_formula(ph, temp_c, davies(ionic_strength_mol_l, temp_c))


def pka_formula(temp_c: Array) -> Array:
    """Acid constant of ammonium in fresh water, as −log10. [-] Source: EMERSON75 (published-read)."""
    out: Array = 0.09018 + 2729.92 / (temp_c + ZERO_C_IN_K)
    return out


def unionised_share_formula(ph: Array, temp_c: Array, shift: Array = 0.0) -> Array:
    """`unionised_share` without the check of ranges: compiles, for the inside of a loop."""
    out: Array = 1.0 / (1.0 + 10.0 ** (pka_formula(temp_c) + shift - ph))
    return out


def nh3_from_n(nh3_n_mg_l: Array) -> Array:
    """Ammonia written as N, as NH3. [mg/L] Source: IUPAC21 (computed)."""
    return nh3_n_mg_l * NH3_PER_N


def acute_criterion(ph: Array, temp_c: Array, salmonids: bool = False) -> Array:
    """Total ammonia that an hour's mean may reach in fresh water.

    Parameters
    ----------
    ph : number or array
        6.5 to 9.0. [-]
    temp_c : number or array
        0 to 30. [°C]
    salmonids : bool
        Whether trout or salmon live there.

    Returns
    -------
    number or array
        Criterion maximum concentration, total ammonia as N. [mg/L]

    Notes
    -----
    Set by freshwater mussels and snails: for aquarium fish an alarm level, not one that kills.
    Source: OAR30, the criteria of EPA13 (published-read); all 36 printed values come out.
    """
    require(ph, between=(6.5, 9.0), name="ph")
    require(temp_c, between=(0, 30), name="temp", unit="C")
    acid, base = 1 + 10.0 ** (7.204 - ph), 1 + 10.0 ** (ph - 7.204)
    warm = 23.12 * 10.0 ** (0.036 * (20 - temp_c))
    general = 0.7249 * (0.0114 / acid + 1.6181 / base)
    trout = np.minimum(0.275 / acid + 39.0 / base, general * warm)
    criterion: Array = trout if salmonids else general * np.minimum(51.93, warm)
    return criterion


def chronic_criterion(ph: Array, temp_c: Array) -> Array:
    """Total ammonia that a month's mean may reach in fresh water, pH 6.5 to 9, 0 to 30 °C. [mg/L as N]

    Notes
    -----
    No four days of the month may be above 2.5 times this. Source: OAR30 (published-read); all 18 printed
    values come out.
    """
    require(ph, between=(6.5, 9.0), name="ph")
    require(temp_c, between=(0, 30), name="temp", unit="C")
    by_ph = 0.0278 / (1 + 10.0 ** (7.688 - ph)) + 1.1994 / (1 + 10.0 ** (ph - 7.688))
    return 0.8876 * by_ph * 2.126 * 10.0 ** (0.028 * (20 - np.maximum(temp_c, 7)))
