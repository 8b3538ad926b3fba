"""Our chemistry against general-purpose libraries that were written by others, from other sources."""

from __future__ import annotations

import CoolProp.CoolProp as coolprop
import gsw
import numpy as np
import pint
import pytest
from phreeqpython import PhreeqPython
from PyCO2SYS import sys as carbonate_system
from scipy.optimize import brentq

from tankward.quantities.units import UNITS
from tankward.water import ammonia, animals, carbonate, conductivity, oxygen, physics

ATM_KPA = 101.325
O2_MG_PER_UMOL = 31.998e-3
TEMPS_C = [4.0, 10.0, 15.0, 20.0, 24.0, 26.0, 28.0, 32.0]


@pytest.fixture(scope="module")
def phreeqc():
    return PhreeqPython(database="phreeqc.dat")


@pytest.mark.parametrize("temp_c", TEMPS_C)
@pytest.mark.parametrize("salt", [0.0, 3.0, 10.0])
def test_oxygen_is_that_of_the_sea_water_library(temp_c, salt):
    """gsw: the fit of Garcia and Gordon (1992) to the same measurements; µmol/kg, so the density comes in."""
    theirs = gsw.O2sol_SP_pt(salt, temp_c) * O2_MG_PER_UMOL * gsw.rho_t_exact(salt, temp_c, 0.0) / 1000
    assert oxygen.oxygen_saturation(temp_c, salt) == pytest.approx(theirs, rel=1.5e-3)


@pytest.mark.parametrize("temp_c", TEMPS_C)
def test_density_is_that_of_the_steam_tables(temp_c):
    """CoolProp: IAPWS-95."""
    theirs = coolprop.PropsSI("D", "T", temp_c + 273.15, "P", ATM_KPA * 1000, "Water")
    assert physics.density_kg_m3(temp_c) == pytest.approx(theirs, abs=0.01)


@pytest.mark.parametrize("temp_c", [18.0, 22.0, 26.0, 30.0])
def test_vapour_pressure_is_that_of_the_steam_tables(temp_c):
    """CoolProp: IAPWS-95, saturation."""
    theirs = coolprop.PropsSI("P", "T", temp_c + 273.15, "Q", 0, "Water") / 1000
    assert physics.vapour_pressure_kpa(temp_c) == pytest.approx(theirs, abs=0.005)


def test_humid_air_is_that_of_the_humid_air_library():
    """CoolProp, 20 °C and 60 %: it counts real gas too, 0.5 % more water than ideal gases hold."""
    theirs = coolprop.HAPropsSI("W", "T", 293.15, "P", ATM_KPA * 1000, "R", 0.6)
    ours = physics.humidity_ratio(0.6 * physics.vapour_pressure_kpa(20.0))
    assert ours == pytest.approx(theirs, rel=0.006)


@pytest.mark.parametrize("alkalinity_meq_l", [0.5, 1.0, 2.0, 4.0])
@pytest.mark.parametrize("log10_pco2", [-3.38, -3.0])
@pytest.mark.parametrize("temp_c", [20.0, 25.0, 30.0])
def test_ph_of_aerated_water_is_that_of_phreeqc(phreeqc, alkalinity_meq_l, log10_pco2, temp_c):
    """PHREEQC, sodium bicarbonate brought to the pressure of the gas."""
    water = phreeqc.add_solution_simple({"NaHCO3": alkalinity_meq_l}, temperature=temp_c)
    water.equalize(["CO2(g)"], [log10_pco2])
    assert carbonate.ph_at_pco2(alkalinity_meq_l, temp_c, log10_pco2) == pytest.approx(water.pH, abs=0.02)


@pytest.mark.parametrize("old", [(6.2, 0.3), (6.8, 1.0), (7.6, 2.0)])
@pytest.mark.parametrize("new", [(7.2, 0.5), (7.8, 4.0), (8.2, 3.0)])
@pytest.mark.parametrize("share", [0.1, 0.2, 0.5])
def test_ph_of_two_waters_mixed_is_that_of_phreeqc(phreeqc, old, new, share):
    """PHREEQC: two waters of sodium bicarbonate with carbon dioxide, MIX, nothing leaves; meq/L and pH."""
    waters = [
        phreeqc.add_solution(
            {"units": "meq/L", "temp": 25, "pH": ph, "Alkalinity": meq, "Na": f"{meq} charge"}
        )
        for ph, meq in (old, new)
    ]
    theirs = phreeqc.mix_solutions({waters[0]: 1 - share, waters[1]: share}).pH
    (ph, meq), (new_ph, new_meq) = old, new
    each = carbonate.CACO3_PER_EQ
    ours = carbonate.ph_of_mixture(ph, meq * each, new_ph, new_meq * each, share, 25.0)
    assert ours == pytest.approx(theirs, abs=0.03)


@pytest.mark.parametrize("salt_mol_l", [0.0, 0.017, 0.034])
def test_poisonous_share_in_salt_water_is_that_of_phreeqc(phreeqc, salt_mol_l):
    """PHREEQC, ammonium in 0 to 2 g/L table salt: its own constants and activities. At 3 g/L 3.1 % apart."""
    made_of = {"units": "mmol/kgw", "temp": 25, "pH": 8.0, "N(-3)": 0.05}
    salt = {"Na": 1000 * salt_mol_l, "Cl": f"{1000 * salt_mol_l} charge"}
    species = phreeqc.add_solution({**made_of, **salt}).species
    theirs = species["NH3"] / (species["NH3"] + species["NH4+"])
    assert ammonia.unionised_share(8.0, 25.0, salt_mol_l) == pytest.approx(theirs, rel=0.03)


def test_carbon_dioxide_is_that_of_the_carbonate_library():
    """PyCO2SYS with the fresh-water constants of Millero (1979): CO2 to bicarbonate at pH 7, 25 °C."""
    theirs = carbonate_system(
        par1=1002.9, par2=7.0, par1_type=1, par2_type=3, salinity=0, temperature=25, opt_k_carbonic=8,
        opt_pH_scale=3,
    )  # fmt: skip
    assert 10 ** (carbonate.pk1(25.0) - 7.0) == pytest.approx(theirs["CO2"] / theirs["HCO3"], rel=0.005)


def test_our_halving_finds_the_root_that_scipy_finds():
    """Bicarbonate alone at pH 6 to 8.5, against Brent's method on the same line of thought, written again."""

    def missing(ph: float) -> float:
        shift = ammonia.davies(0.002, 24.0)
        h, oh = 10 ** (shift - ph), 10 ** (ph - carbonate.pkw(24.0) + shift)
        hco3 = 10 ** (-3.2 - carbonate.pkh(24.0) + ph - carbonate.pk1(24.0) + shift)
        return hco3 * (1 + 2 * 10 ** (ph - carbonate.pk2(24.0) + 3 * shift)) + oh - h - 0.002

    assert carbonate.ph_at_pco2(2.0, 24.0, -3.2) == pytest.approx(brentq(missing, 4.0, 11.0), abs=1e-9)


def test_salt_found_by_halving_makes_the_rise_it_was_found_from():
    levels = np.array([20.0, 300.0, 1000.0, 5000.0])
    assert conductivity.nacl_mg_l_from_rise(conductivity.nacl_rise_us_cm(levels)) == pytest.approx(
        levels, rel=1e-6
    )


def test_a_mole_of_oxygen_weighs_what_a_units_library_says():
    ureg = pint.UnitRegistry()
    hourly = (animals.resting_oxygen_50g_mmol_h(25.0) * ureg("mmol/hour") * 31.998 * ureg("g/mol")).to(
        "mg/hour"
    )
    assert animals.resting_oxygen_mg_h(50.0, 25.0) == pytest.approx(hourly.magnitude)


@pytest.mark.parametrize("unit", [u for u in UNITS if u.dimension == "pressure"], ids=lambda u: u.name)
def test_pressure_units_are_those_of_a_units_library(unit):
    assert float(unit.factor) == pytest.approx(pint.UnitRegistry()(unit.name).to("hPa").magnitude)
