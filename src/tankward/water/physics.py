"""Density, vapour pressure, evaporation, the pace of gas through the surface."""

from __future__ import annotations

import numpy as np

from .arrays import Array, require

ATM_KPA = 101.325
VAPOUR_PER_AIR = 0.621945  # ratio of molar masses of water and dry air
STILL_SHARE = 0.74  # undisturbed water against the equation: ASHRAE98
ROOM_AIR_M_S = (0.05, 0.10, 0.15)
OXYGEN_THETA = 1.024  # for each degree, recalled from the ASCE standard


def density_kg_m3(temp_c: Array) -> Array:
    """Density of air-free water, 0 to 40 °C. [kg/m³]

    Notes
    -----
    999.974950 (1 − (t − 3.983035)² (t + 301.797) / (522528.9 (t + 69.34881))). Source: TANAKA01 (computed).
    """
    require(temp_c, between=(0, 40), name="temp", unit="C")
    t = temp_c
    return 999.974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


def vapour_pressure_kpa(temp_c: Array) -> Array:
    """Pressure of water vapour over water, 0 to 50 °C. [kPa]

    Notes
    -----
    0.61121 exp((18.678 − t / 234.5) t / (257.14 + t)). Source: BUCK81 (memory; IAPWS95 within 0.005 kPa).
    """
    require(temp_c, between=(0, 50), name="temp", unit="C")
    out: Array = 0.61121 * np.exp((18.678 - temp_c / 234.5) * temp_c / (257.14 + temp_c))
    return out


def humidity_ratio(vapour_kpa: Array, pressure_kpa: Array = ATM_KPA) -> Array:
    """Water in air by its vapour pressure. [kg/kg dry air]"""
    return VAPOUR_PER_AIR * vapour_kpa / (pressure_kpa - vapour_kpa)


def evaporation_kg_h(area_m2: Array, air_m_s: Array, at_water: Array, in_air: Array) -> Array:
    """Evaporation of open water indoors: (25 + 19 v) A (xs − x), never below nothing.

    Parameters
    ----------
    area_m2 : number or array
        Open surface. [m²]
    air_m_s : number or array
        Pace of the air over it. [m/s]
    at_water, in_air : number or array
        Humidity ratios: saturated at the water's temperature, and in the room. [kg/kg]

    Returns
    -------
    number or array
        [kg/h]

    Notes
    -----
    An upper bound: undisturbed water measured 74 % of such an equation (ASHRAE98). Source: EVAPTB
    (published-read).
    """
    out: Array = np.maximum((25 + 19 * air_m_s) * area_m2 * (at_water - in_air), 0.0)
    return out


def gas_velocity_cm_h(k600_cm_h: Array, schmidt: Array = 530.0, still: bool = True) -> Array:
    """Pace at which oxygen passes the surface. [cm/h]

    Notes
    -----
    k600 (Sc / 600)^−0.67 on still water, ^−0.5 on rippled. Source: COLE98 (memory); factor of two.
    """
    return k600_cm_h * (schmidt / 600) ** (-0.67 if still else -0.5)


def kla_from_surface(velocity_cm_h: Array, area_cm2: Array, volume_l: Array) -> Array:
    """Exchange through the surface alone. [1/h] Source: COLE98 (memory)."""
    return velocity_cm_h * area_cm2 / (volume_l * 1000)


def kla_at(kla20: Array, temp_c: Array) -> Array:
    """Exchange at another temperature than 20 °C: × 1.024 for each degree. [1/h] Source: CHERN03 (memory)."""
    return kla20 * OXYGEN_THETA ** (temp_c - 20)
