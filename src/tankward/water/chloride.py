"""Chloride against nitrite."""

from __future__ import annotations

import numpy as np

from .arrays import Array
from .atoms import molar_mass

NACL_PER_CL = molar_mass("NaCl") / molar_mass("Cl")


def salt_for_nitrite_mg_l(nitrite_mg_l: Array, chloride_mg_l: Array = 0.0, ratio: Array = 10.0) -> Array:
    """Sodium chloride to add so that chloride stands at so many times the nitrite ion.

    Parameters
    ----------
    nitrite_mg_l : number or array
        As the ion NO2, not as N. [mg/L]
    chloride_mg_l : number or array
        Already in the water. [mg/L]
    ratio : number or array
        Chloride to nitrite by weight; 10 used, 6 on some farms. [-]

    Returns
    -------
    number or array
        Sodium chloride; nothing where there is chloride enough. [mg/L]

    Notes
    -----
    1.6486 (ratio × NO2 − Cl). Helps fish that take nitrite up by way of chloride; largemouth bass had no
    benefit. Source: SRAC462 (published-read).
    """
    missing = np.maximum(ratio * nitrite_mg_l - chloride_mg_l, 0.0)
    out: Array = NACL_PER_CL * missing
    return out
