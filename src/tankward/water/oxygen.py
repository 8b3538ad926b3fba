"""How much oxygen water can hold, and the air pressure it depends on."""

from __future__ import annotations

import numpy as np

from .arrays import ZERO_C_IN_K, Array, require

ATM_HPA = 1013.25


def oxygen_saturation(temp_c: Array, salinity_g_kg: Array = 0.0, pressure_hpa: Array = ATM_HPA) -> Array:
    """Oxygen dissolved in water that is in balance with moist air.

    Parameters
    ----------
    temp_c : number or array
        Water temperature, 0 to 40. [°C]
    salinity_g_kg : number or array
        0 to 40. [g/kg]
    pressure_hpa : number or array
        Air pressure at the tank (not reduced to sea level), 500 to 1115. [hPa]

    Returns
    -------
    number or array
        Oxygen. [mg/L]

    Raises
    ------
    OutOfRange
        If any input lies outside the range of the source.

    Notes
    -----
    Source: BK84 (published-read); the table EN25814 comes out at every printed digit. Older kit tables read
    about 1 % higher.
    """
    require(temp_c, between=(0, 40), name="temp", unit="C")
    require(salinity_g_kg, between=(0, 40), name="salinity", unit="g/kg")
    require(pressure_hpa, between=(500, 1115), name="pressure", unit="hPa")
    return oxygen_saturation_formula(temp_c, salinity_g_kg, pressure_hpa)


def oxygen_saturation_formula(
    temp_c: Array, salinity_g_kg: Array = 0.0, pressure_hpa: Array = ATM_HPA
) -> Array:
    """`oxygen_saturation` without the check of ranges: compiles, for the inside of a loop."""
    t = temp_c + ZERO_C_IN_K
    fresh = -139.34411 + 1.575701e5 / t - 6.642308e7 / t**2
    fresh = fresh + 1.243800e10 / t**3 - 8.621949e11 / t**4
    salt = salinity_g_kg * (0.017674 - 10.754 / t + 2140.7 / t**2)
    vapour = np.exp(11.8571 - 3840.70 / t - 216961 / t**2)
    theta = 0.000975 - 1.426e-5 * temp_c + 6.436e-8 * temp_c**2
    air = pressure_hpa / ATM_HPA
    moist = air * (1 - vapour / air) * (1 - theta * air) / ((1 - vapour) * (1 - theta))
    out: Array = np.exp(fresh - salt) * moist
    return out


def pressure_at_altitude(altitude_m: Array) -> Array:
    """Air pressure at a height above the sea in the standard atmosphere, −500 to 11,000 m. [hPa]

    Notes
    -----
    1013.25 (1 − 2.25577e-5 h)^5.25588; weather moves it by 3 to 4 %. Source: STDATM76 (published-read).
    """
    require(altitude_m, between=(-500, 11000), name="altitude", unit="m")
    return ATM_HPA * (1 - 2.25577e-5 * altitude_m) ** 5.25588
