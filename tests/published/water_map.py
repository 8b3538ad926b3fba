"""Which function answers which quantity of water.toml."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tankward.water import (
    ammonia,
    animals,
    atoms,
    carbonate,
    chlorine,
    conductivity,
    copper,
    geometry,
    hardness,
    nitrogen,
    oxygen,
    physics,
)
from tankward.water.volume import Sizes, water_volume

HPA_PER_KPA = 10.0
MG_PER_KG = 1e6
SECONDS_PER_H = 3600.0


def _box_outside(i: Mapping[str, Any]) -> float:
    return water_volume(
        Sizes(
            length_cm=i["outer_length_cm"],
            width_cm=i["outer_width_cm"],
            glass_cm=i["glass_cm"],
            fill_cm=i["fill_height_above_bottom_cm"],
        )
    ).full_l


MAP: dict[str, Callable[[Mapping[str, Any]], Any]] = {
    # Sea water lies beyond what `unionised_share` lets in: the bare formula, to show how far it bends.
    "nh3_fraction": lambda i: ammonia.unionised_share_formula(
        i["ph"], i["temp_c"], ammonia.davies(i["ionic_strength_mol_l"], i["temp_c"])
    ),
    "ammonia_acute_criterion": lambda i: ammonia.acute_criterion(
        i["ph"], i["temp_c"], i["salmonids_present"]
    ),
    "ammonia_chronic_criterion": lambda i: ammonia.chronic_criterion(i["ph"], i["temp_c"]),
    "nh3_from_nh3_n": lambda i: ammonia.nh3_from_n(i["nh3_n_mg_l"]),
    "do_saturation": lambda i: oxygen.oxygen_saturation(
        i["temp_c"], i["salinity_g_kg"], i["pressure_kpa"] * HPA_PER_KPA
    ),
    "pressure_at_altitude": lambda i: oxygen.pressure_at_altitude(i["altitude_m"]) / HPA_PER_KPA,
    "volume_cylinder": lambda i: geometry.column_l(
        geometry.cylinder_area(i["inner_diameter_cm"]), i["fill_height_cm"]
    ),
    "volume_regular_hexagon": lambda i: geometry.column_l(
        geometry.hexagon_area(i["inner_side_cm"]), i["fill_height_cm"]
    ),
    "volume_regular_hexagon_across_flats": lambda i: geometry.column_l(
        geometry.hexagon_area(geometry.hexagon_side(i["inner_across_flats_cm"])), i["fill_height_cm"]
    ),
    "volume_bow_front": lambda i: geometry.column_l(
        geometry.bow_area(
            i["inner_width_cm"],
            i["depth_at_sides_cm"],
            i["depth_at_centre_cm"] - i["depth_at_sides_cm"],
        ),
        i["fill_height_cm"],
    ),
    "volume_box_from_outside": _box_outside,
    "water_in_substrate": lambda i: geometry.water_in_substrate_l(
        i["area_cm2"], i["depth_cm"], i["porosity"]
    ),
    "co2_from_alkalinity": lambda i: carbonate.co2_mg_l(
        i["ph"], i["alkalinity_mg_l_caco3"], i["temp_c"], i["ionic_strength_mol_l"]
    ),
    "co2_from_bicarbonate": lambda i: carbonate.co2_from_bicarbonate_mg_l(
        i["ph"], i["bicarbonate_mg_l"], i["temp_c"]
    ),
    "pk1_carbonic": lambda i: carbonate.pk1(i["temp_c"]),
    "ph_at_pco2": lambda i: carbonate.ph_at_pco2(i["alkalinity_meq_l"], i["temp_c"], i["log10_pco2_atm"]),
    "ph_after_acid_closed": lambda i: carbonate.ph_after_acid_closed(
        i["alkalinity_meq_l"], i["acid_meq_l"], i["temp_c"], i["log10_pco2_start_atm"]
    ),
    "alkalinity_used_by_nitrification": lambda i: nitrogen.alkalinity_used(
        i["n_oxidised_mg_l"], i["with_cell_growth"]
    ),
    "oxygen_used_by_nitrification": lambda i: nitrogen.oxygen_used(
        i["n_oxidised_mg_l"], i["with_cell_growth"]
    ),
    "oxygen_used_by_nitrite_oxidation": lambda i: nitrogen.oxygen_used_by_nitrite(i["n_oxidised_mg_l"]),
    "nitrifier_growth_arrhenius": lambda i: nitrogen.nitrifier_growth(
        i["mu_ref_per_d"], i["ea_kj_mol"], i["temp_ref_c"], i["temp_c"]
    ),
    "nitrite_as_n": lambda i: nitrogen.nitrite_as_n(i["nitrite_mg_l"]),
    "nitrate_as_n": lambda i: nitrogen.nitrate_as_n(i["nitrate_mg_l"]),
    "hardness_to_mg_l_caco3": lambda i: hardness.caco3(i["value"], i["unit"]),
    "mmol_l_to_dgh": lambda i: hardness.mmol_to_dgh(i["value"]),
    "sodium_bicarbonate_mass": lambda i: hardness.bicarbonate_g(
        i["alkalinity_rise_mg_l_caco3"], i["volume_l"]
    ),
    "conductivity_factor_to_25c": lambda i: conductivity.factor_to_25c(i["temp_c"]),
    "conductivity_nacl_25c": lambda i: conductivity.nacl_us_cm(i["nacl_mol_l"]),
    "conductivity_rise_nacl_25c": lambda i: conductivity.nacl_rise_us_cm(i["nacl_mg_l"]),
    "salinity_from_conductance_25c": lambda i: conductivity.practical_salinity(i["conductance_us_cm"]),
    "volume_from_salt_tracer": lambda i: conductivity.volume_from_salt_l(
        i["nacl_g"], i["background_us_cm_25c"], i["after_us_cm_25c"]
    ),
    "dechlorination_mass": lambda i: chlorine.dechlorination_mg(i["chlorine_mg"], i["substance"]),
    "ammonia_n_from_monochloramine": lambda i: chlorine.ammonia_n_from_chloramine(
        i["monochloramine_mg_l_as_cl2"]
    ),
    "bleach_available_chlorine": lambda i: chlorine.bleach_mg_l(
        i["bleach_available_chlorine_percent"], i["bleach_parts"], i["total_parts"]
    ),
    "naocl_percent_to_available_chlorine_percent": lambda i: chlorine.available_percent(i["naocl_percent"]),
    "hydrogen_peroxide_volume_strength": lambda i: chlorine.peroxide_volumes(i["percent_w_v"]),
    "copper_sulfate_mass": lambda i: (
        copper.sulfate_mass_mg(i["copper_mg_l"], i["volume_l"], i["copper_fraction"]) / MG_PER_KG
    ),
    "copper_sulfate_by_alkalinity": lambda i: copper.sulfate_by_alkalinity_mg_l(i["alkalinity_mg_l_caco3"]),
    "copper_from_copper_sulfate_pentahydrate": lambda i: copper.copper_in_pentahydrate(i["mass_g"]),
    "molar_mass": lambda i: atoms.molar_mass(i["formula"]),
    "hydrate_to_anhydrous": lambda i: i["mass_g"] * atoms.anhydrous_share(i["salt"]),
    "evaporation_rate": lambda i: (
        physics.evaporation_kg_h(
            i["area_m2"],
            i["air_speed_m_s"],
            i["humidity_ratio_saturated_kg_kg"],
            i["humidity_ratio_air_kg_kg"],
        )
        / SECONDS_PER_H
    ),
    "water_density": lambda i: physics.density_kg_m3(i["temp_c"]),
    "water_vapour_pressure": lambda i: physics.vapour_pressure_kpa(i["temp_c"]),
    "oxygen_uptake_allometric": lambda i: animals.oxygen_per_gram(i["a_ml_o2_h"], i["exponent"], i["mass_g"]),
    "resting_oxygen_uptake": lambda i: (
        animals.resting_oxygen_mg_h(i["mass_g"], i["temp_c"]) / animals.O2_MG_PER_MMOL * 1000 / i["mass_g"]
    ),
    "resting_oxygen_uptake_50g": lambda i: animals.resting_oxygen_50g_mmol_h(i["temp_c"]),
}
