"""Chlorine in tap water and bleach, and what takes it away."""

from __future__ import annotations

from tankward.quantities.faults import BadInput

from .arrays import Array
from .atoms import molar_mass

CL2 = molar_mass("Cl") * 2
# Substance -> mg for each mg of chlorine as Cl2. Two thiosulfate (to tetrathionate) or one ascorbate for each
# Cl2. DECHLOR prints 7.0 for the pentahydrate (published-read); field tables lie as low as 1.9 (to sulfate):
# the larger is used.
PER_CHLORINE = {
    "sodium_thiosulfate_pentahydrate": 2 * molar_mass("Na2S2O3.5H2O") / CL2,
    "sodium_thiosulfate_anhydrous": 2 * molar_mass("Na2S2O3") / CL2,
    "ascorbic_acid": molar_mass("C6H8O6") / CL2,
    "sodium_ascorbate": molar_mass("C6H7O6Na") / CL2,
}
FAST_PATH = molar_mass("Na2S2O3.5H2O") / CL2 / 4  # to sulfate: the least that could do
N_PER_MONOCHLORAMINE = molar_mass("N") / CL2
AVAILABLE_PER_NAOCL = CL2 / molar_mass("NaClO")
MG_L_PER_PERCENT = 10_000.0


def dechlorination_mg(chlorine_mg: Array, substance: str = "sodium_thiosulfate_pentahydrate") -> Array:
    """Least mass that takes away so much chlorine (as Cl2).

    Parameters
    ----------
    chlorine_mg : number or array
        Total chlorine. [mg]
    substance : str
        A key of `PER_CHLORINE`.

    Returns
    -------
    number or array
        Without excess; 1.5 to 2 times is usual. [mg]

    Raises
    ------
    BadInput
        If the substance is not known here.

    Notes
    -----
    Source: DECHLOR (published-read). Ascorbic acid failed on monochloramine in one study (BASU11).
    """
    if substance not in PER_CHLORINE:
        raise BadInput("substance", substance, f"is not one of {', '.join(PER_CHLORINE)}.")
    return chlorine_mg * PER_CHLORINE[substance]


def ammonia_n_from_chloramine(chlorine_mg_l: Array) -> Array:
    """Ammonia that dechlorinated monochloramine leaves, as N; the reading is total chlorine as Cl2. [mg/L]

    Notes
    -----
    0.1976 for each mg/L: one N for each Cl2. Source: IUPAC21 (computed).
    """
    return chlorine_mg_l * N_PER_MONOCHLORAMINE


def bleach_mg_l(available_percent: Array, parts: Array, of_parts: Array) -> Array:
    """Chlorine of diluted bleach: 10 g/L for each per cent. [mg/L] Source: WHO14G (published-read)."""
    return available_percent * MG_L_PER_PERCENT * parts / of_parts


def available_percent(naocl_percent: Array) -> Array:
    """Available chlorine of bleach whose label counts sodium hypochlorite. [%] Source: IUPAC21 (computed)."""
    return naocl_percent * AVAILABLE_PER_NAOCL


def peroxide_volumes(percent_w_v: Array) -> Array:
    """Strength of hydrogen peroxide in volumes of oxygen: 22.414 L for each two mol.

    Source: IUPAC21 (computed).
    """
    return percent_w_v * 10 / molar_mass("H2O2") / 2 * 22.414
