"""Which function answers which formula of dose.toml."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tankward.knowledge.loader import load
from tankward.quantities.parse import quantity, ratio
from tankward.quantities.strength import strength
from tankward.treat.amounts.bleach import thiosulfate_mg
from tankward.treat.amounts.dosing import dose_mg, level_mg_l
from tankward.treat.amounts.fading import half_life_h, tends_to, washed_out
from tankward.treat.amounts.food import FoodPlan, dose_from_food, medicated_food, strength_mg_g
from tankward.treat.amounts.formalin import formaldehyde_mg_l, oxygen_taken_mg_l, product_ml
from tankward.treat.amounts.put_back import restoring_mg
from tankward.treat.husbandry.forms import form_factor
from tankward.water import chloride, chlorine, copper, geometry, hardness, nitrogen

I = Mapping[str, Any]
ML = 1000.0  # in a litre
MG = 1000.0  # in a gram
SHORT_TON_LB = 2000.0
FT_CM = quantity("1 ft", "length").value


def base(amount: float, unit: str, dimension: str) -> float:
    """So much of a unit in the base unit of its dimension."""
    return quantity(f"{amount} {unit}", dimension).value


def gallons(i: I) -> float:
    return base(i["us_gal"], "US gal", "volume")


def in_ft3(litres: float) -> float:
    return litres * ML / FT_CM**3


def per_weight(grams: float, pounds: float) -> float:
    """mg in each g of a food with so many grams in so many pounds."""
    return strength(f"{grams} g per {pounds:g} lb").active_mg * MG


def fed(mg_kg_day: float, biomass_kg: float, percent_bw: float = 1.0, **more: Any) -> Any:
    """A medicated food for so many fish that eat such a share of their weight."""
    share = percent_bw / 100
    return medicated_food(
        FoodPlan(
            dose_mg_kg_day=mg_kg_day,
            biomass_g=biomass_kg * 1000,
            ration=share,
            ration_low=share,
            ration_high=share,
            days=1.0,
            dry_moisture=0.1,
            **more,
        )
    )


def filled_up(i: I) -> float:
    """A level in the beaker: with the added volume counted, or as if it were nothing."""
    into = i["into_ml"] + (i["ml"] if i["count_added"] else 0.0)
    return level_mg_l(i["ml"] * i["stock_mg_ml"], into / ML)


def salt_lb(i: I) -> float:
    return dose_mg(i["percent"] * 10 * MG, gallons(i)) / base(1, "lb", "mass")


def stock_in_gallons(i: I) -> float:
    stock = level_mg_l(i["stock_g"] * MG, base(i["stock_us_gal"], "US gal", "volume"))
    return level_mg_l(stock * i["ml"] / ML, gallons(i))


def copper_lb(i: I) -> float:
    """The formula of pounds: 8.34 lb of water to the gallon."""
    water = base(i["million_gal"] * 1e6, "US gal", "volume")
    return float(copper.sulfate_mass_mg(i["conc_mg_l"], water, i["fraction"])) / base(1, "lb", "mass")


def packets(i: I) -> float:
    rule = ratio(f"1 sachet per {i['packet_us_gal']} US gal")
    return i["volume_l"] / rule.per * rule.amount


def with_chloride(i: I) -> float:
    return float(chloride.salt_for_nitrite_mg_l(i["nitrite_mg_l"], i["chloride_present_mg_l"], i["ratio"]))


def put_back(i: I) -> float:
    before = i["conc_mg_l"] * i.get("left", 1.0)
    return restoring_mg(i["conc_mg_l"], before, i["volume_l"], i["changed"])


MAP: dict[str, Callable[[I], Any]] = {
    "volume_box": lambda i: in_ft3(
        geometry.column_l(geometry.box_area(i["length"] * FT_CM, i["width"] * FT_CM), i["depth"] * FT_CM)
    ),
    "volume_cylinder": lambda i: in_ft3(
        geometry.column_l(geometry.cylinder_area(i["diameter"] * FT_CM), i["depth"] * FT_CM)
    ),
    "ft3_to_us_gal": lambda i: i["ft3"] * FT_CM**3 / ML / base(1, "US gal", "volume"),
    "percent_to_mg_l": lambda i: strength(f"{i['percent'] * 10} g per L").active_mg,
    "f_to_c": lambda i: base(i["f"], "F", "temperature"),
    "bath_mass_mg_us_gal": lambda i: dose_mg(i["conc_mg_l"], gallons(i)),
    "bath_mass_mg": lambda i: dose_mg(i["conc_mg_l"], i["volume_l"]),
    "bath_volume_ml": lambda i: product_ml(i["conc_ul_l"], i["volume_l"]),
    "conc_ul_l": lambda i: i["ml"] / product_ml(1.0, i["volume_l"]),
    "conc_mg_l": lambda i: level_mg_l(i["mass_mg"], i["volume_l"]),
    "conc_from_liquid_mg_l": lambda i: level_mg_l(
        i["ml"] / ML * strength(f"{i['strength_mg_ml']} mg per mL").active_mg, i["volume_l"]
    ),
    "product_mass_mg": lambda i: strength(f"{i['fraction'] * 100}%").product(
        dose_mg(i["conc_mg_l"], i["volume_l"])
    ),
    "product_volume_ml": lambda i: (
        ML * strength(f"{i['strength_mg_ml']} mg per mL").product(dose_mg(i["conc_mg_l"], i["volume_l"]))
    ),
    "formalin_to_formaldehyde_mg_l": lambda i: formaldehyde_mg_l(i["formalin_ul_l"], i["mg_per_ul"]),
    "formalin_oxygen_mg_l": lambda i: oxygen_taken_mg_l(i["formalin_ul_l"]),
    "stock_g_l": lambda i: level_mg_l(i["mass_g"] * MG, i["volume_l"]) / MG,
    "stock_in_us_gal_mg_l": stock_in_gallons,
    "dilution_mg_l": filled_up,
    "g_per_lb_to_g_per_kg": lambda i: per_weight(i["g_per_lb"], 1),
    "g_per_short_ton_to_g_per_kg": lambda i: per_weight(i["g_per_ton"], SHORT_TON_LB),
    "g_per_100lb_to_mg_kg": lambda i: per_weight(i["g_per_100lb"], 100) * MG,
    "dose_from_short_ton_mg_kg_day": lambda i: dose_from_food(
        per_weight(i["g_per_ton"], SHORT_TON_LB), i["percent_bw"] / 100
    ),
    "dose_from_g_per_lb_mg_kg_day": lambda i: dose_from_food(
        per_weight(i["g_per_lb"], 1), i["percent_bw"] / 100
    ),
    "dose_from_feed_mg_kg_day": lambda i: dose_from_food(i["g_per_kg_feed"], i["percent_bw"] / 100),
    "feed_strength_g_kg": lambda i: strength_mg_g(i["mg_kg_day"], i["percent_bw"] / 100),
    "feed_strength_leaching_g_kg": lambda i: strength_mg_g(i["mg_kg_day"], i["percent_bw"] / 100, i["lost"]),
    "drug_in_feed_batch_g": lambda i: (
        fed(i["mg_kg_day"], 1.0, i["percent_bw"], batch_g=i["feed_kg"] * 1000).batch_mg / MG
    ),
    "implied_intake_percent": lambda i: 100 * i["mg_kg_day"] / dose_from_food(i["g_per_kg_feed"], 1.0),
    "daily_drug_mg": lambda i: fed(i["mg_kg_day"], i["biomass_kg"]).active_mg_day,
    "daily_feed_kg": lambda i: fed(1.0, i["biomass_kg"], i["percent_bw"]).food_g_day / 1000,
    "premix_mg_per_spoon": lambda i: strength(f"{i['drug_g']} g per {i['spoons']} scoop").active_mg,
    "salt_lb_us_gal": salt_lb,
    "copper_sulfate_rule_mg_l": lambda i: copper.sulfate_by_alkalinity_mg_l(i["alkalinity"]),
    "copper_in_pentahydrate_mg_l": lambda i: copper.copper_in_pentahydrate(i["conc_mg_l"]),
    "pounds_formula_lb": copper_lb,
    "thiosulfate_pentahydrate_mg": lambda i: (
        i["factor"] * chlorine.dechlorination_mg(dose_mg(i["chlorine_mg_l"], i["volume_l"]))
    ),
    "thiosulfate_fast_path_mg": lambda i: thiosulfate_mg(i["chlorine_mg"], chlorine.FAST_PATH),
    "ascorbic_mg": lambda i: chlorine.dechlorination_mg(i["chlorine_mg"], "ascorbic_acid"),
    "sample_reagent_mg_l": lambda i: level_mg_l(
        i["ml"] / ML * strength(f"{i['percent'] * 10} g per L").active_mg, i["sample_ml"] / ML
    ),
    "bicarbonate_g": lambda i: hardness.bicarbonate_g(i["rise_mg_l_caco3"], i["volume_l"]),
    "dkh_to_mg_l_caco3": lambda i: base(i["dkh"], "dKH", "hardness"),
    "salt_for_nitrite_mg_l": with_chloride,
    "nitrite_n_to_nitrite": lambda i: nitrogen.nitrite_ion(i["mg_l_n"]),
    "form_equivalent": lambda i: i["amount"] * form_factor("levamisole", "", "hydrochloride", load())[1],
    "redose_keep_mg": put_back,
    "redose_decayed_mg": put_back,
    "redose_full_limit": lambda i: tends_to(i["conc_mg_l"], i["changed"], i["left"]),
    "washout_fraction": lambda i: washed_out(1.0, [i["changed"]] * i["times"])[-1],
    "half_life_from_fraction_h": lambda i: half_life_h(i["left"], i["hours"]),
    "peroxide_ml": lambda i: (
        ML * strength(f"{i['strength_mg_ml']} mg per mL").product(dose_mg(i["conc_mg_l"], i["volume_l"]))
    ),
    "bleach_mg_l": lambda i: chlorine.bleach_mg_l(i["percent_w_v"], i["ml"] / ML, gallons(i)),
    "drops_g_l": lambda i: base(i["drops"], "drops", "volume") * ML * i["density"],
    "oz_per_lb_to_g_per_kg": lambda i: 1000 * base(i["oz"], "oz", "mass") / base(1, "lb", "mass"),
    "packet_share": packets,
}
