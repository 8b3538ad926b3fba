"""Which function answers which check of husbandry.toml, by its id."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from tankward.knowledge.loader import load
from tankward.quantities.strength import strength
from tankward.treat.amounts.bleach import bleach_ml
from tankward.treat.amounts.dosing import dose_mg, level_mg_l
from tankward.treat.amounts.fading import half_life_h, share_left
from tankward.treat.amounts.food import dose_from_food, strength_mg_g
from tankward.treat.amounts.formalin import formaldehyde_mg_l
from tankward.treat.husbandry.forms import form_factor
from tankward.water import animals, chlorine, copper, geometry, hardness
from tests.published.dose_map import I, base, fed

MG_L_PER_PERCENT = 10_000.0


def per_gram(grams: float, unit: str) -> float:
    """Active in mg for each gram of a food that holds so many grams in one unit of weight."""
    return strength(f"{grams} g per 1 {unit}").active_mg * 1000


def salt_percent(i: I) -> float:
    salt, water = base(i["salt_lb"], "lb", "mass"), base(i["volume_us_gal"], "US gal", "volume")
    return level_mg_l(salt, water) / MG_L_PER_PERCENT


def tank_l(i: I) -> float:
    floor = geometry.box_area(i["length_m"] * 100, i["width_m"] * 100)
    return float(geometry.column_l(floor, i["depth_m"] * 100))


def one_drop_level(i: I) -> float:
    gallon = base(1, "US gal", "volume")
    drop_l = i["drops"] / i["drops_per_ml"] / 1000
    return level_mg_l(i["stock_g_per_us_gal"] * 1000 / gallon * drop_l, i["volume_us_gal"] * gallon)


def rate_per_min(lost_percent: float, minutes: float) -> float:
    return math.log(2) / half_life_h(1 - lost_percent / 100, minutes)


def epsom_dh(i: I) -> float:
    water = base(i["volume_us_gal"], "US gal", "volume")
    return float(hardness.hardness_from_salt_mg_l(i["grams"], water, "MgSO4.7H2O")) / base(
        1, "dGH", "hardness"
    )


TSP_ML = base(1, "tsp", "volume") * 1000

MAP: dict[str, Callable[[I], Any]] = {
    "feed_mnz": lambda i: dose_from_food(i["drug_percent_of_feed"] * 10, i["feed_percent_bw_day"] / 100),
    "feed_pzq_rate2": lambda i: 100 * i["dose_mg_kg_day"] / dose_from_food(i["drug_g_per_kg_feed"], 1.0),
    "feed_ng_drug": lambda i: fed(i["dose_mg_kg_day"], i["biomass_kg"]).active_mg_day,
    "feed_ng_strength": lambda i: strength_mg_g(i["drug_mg_day"], i["feed_kg_day"]),
    "feed_cat_tsp": lambda i: (
        strength(f"{i['packet_drug_g']} g per {i['teaspoons_in_packet']} tsp").active_mg * TSP_ML / 1000
    ),
    "feed_cat_dose": lambda i: dose_from_food(
        per_gram(i["drug_g_per_lb_feed"], "lb"), i["feed_percent_bw_day"] / 100
    ),
    "feed_ery": lambda i: per_gram(i["drug_g_per_lb_feed"], "lb"),
    "feed_ery_dose": lambda i: dose_from_food(i["drug_g_per_kg_feed"], i["feed_percent_bw_day"] / 100),
    "feed_lev": lambda i: per_gram(i["drug_g_per_lb_feed"], "lb"),
    "feed_otc3": lambda i: dose_from_food(
        per_gram(i["drug_g_per_lb_feed"], "lb"), i["feed_percent_bw_day"] / 100
    ),
    "leach_k": lambda i: [
        rate_per_min(i["lost_percent_low"], i["minutes"]),
        rate_per_min(i["lost_percent_high"], i["minutes"]),
    ],
    "leach_5min": lambda i: 100 * (1 - share_left(i["minutes"], math.log(2) / i["k_per_min"])),
    "bath_otc_tank": lambda i: dose_mg(i["dose_g_m3"], tank_l(i)) / 1000,
    "bath_kmno4_drop": one_drop_level,
    "bath_lufenuron": lambda i: level_mg_l(i["drug_mg"], base(i["volume_us_gal"], "US gal", "volume")),
    "bath_salt_1": salt_percent,
    "bath_salt_3": salt_percent,
    "bath_salt_slip": salt_percent,
    "bath_copper_alk": lambda i: copper.sulfate_by_alkalinity_mg_l(i["alkalinity_mg_l_caco3"]),
    "bath_copper_cu": lambda i: copper.copper_in_pentahydrate(i["cuso4_5h2o_mg_l"]),
    "bath_formalin_hcho": lambda i: formaldehyde_mg_l(i["formalin_ul_l"]),
    "bath_formalin_hcho100": lambda i: formaldehyde_mg_l(i["formalin_ul_l"]),
    "tox_cryphiops_cu": lambda i: copper.copper_in_pentahydrate(i["cuso4_5h2o_mg_l"]),
    "carbon_mg": lambda i: 1000 * base(i["oz_per_lb"], "oz", "mass") / base(1, "lb", "mass"),
    "carbon_need": lambda i: dose_mg(i["conc_mg_l"], i["volume_l"]) / i["capacity_g_kg"],
    "chlorine_stoich": lambda i: chlorine.dechlorination_mg(1.0),
    "spoon_premix": lambda i: base(i["packet_oz"], "oz", "mass") / 1000 / i["teaspoons"],
    "spoon_premix_density": lambda i: i["g_per_us_tsp"] / TSP_ML,
    "spoon_kmno4": lambda i: [i["g_low"] / TSP_ML, i["g_high"] / TSP_ML],
    "spoon_salt": lambda i: i["bulk_density_g_ml"] * TSP_ML,
    "spoon_salt_flake": lambda i: [
        i["bulk_density_low_g_ml"] * TSP_ML,
        i["bulk_density_high_g_ml"] * TSP_ML,
    ],
    "spoon_us_tsp": lambda i: TSP_ML,
    "gh_epsom": epsom_dh,
    "met_angel": lambda i: animals.oxygen_of_fish(i["coef"], i["exponent"], i["mass_g"]),
    "met_guppy": lambda i: i["n"] * animals.oxygen_of_fish(i["coef"], i["exponent"], i["mass_g"]),
    "lw_gravid": lambda i: i["observed_g"] / animals.mass_g(i["tl_cm"], i["a"], i["b"]),
    "lw_angel": lambda i: animals.mass_g(i["sl_cm"], i["a"], i["b"]),
    "growth_guppy": lambda i: animals.length_at_age_cm(
        i["linf_cm"], i["k_per_year"], i["t0_years"], i["age_d"]
    ),
    "conv_bleach": lambda i: bleach_ml(
        i["bleach_percent"] * MG_L_PER_PERCENT, i["target_mg_l"], i["volume_l"]
    ),
    "conv_lev_base": lambda i: i["hcl_mg"] * form_factor("levamisole hydrochloride", "", "base", load())[1],
}
