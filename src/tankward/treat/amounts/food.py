"""Medicine in food: what they eat, how strong it has to be, what reaches the fish and what the water."""

from __future__ import annotations

import msgspec

G_PER_KG = 1000.0


def food_as_fed(dry_food: float, dry_moisture: float, moisture: float) -> float:
    """The same dry matter as another food: flakes at `dry_moisture` turned into a wet food. [same unit]

    Notes
    -----
    food × (1 − dry_moisture) ÷ (1 − moisture): a gel of 75 % water weighs 3.7 times the flakes of 7.5 %.
    """
    return dry_food * (1.0 - dry_moisture) / (1.0 - moisture)


def appetite(temp_c: float, at_c: float, q10: float) -> float:
    """How much more or less they eat at another warmth, inside what the species bears. [-]"""
    return float(q10 ** ((temp_c - at_c) / 10.0))


def strength_mg_g(dose_mg_kg_day: float, share_eaten: float, lost: float = 0.0) -> float:
    """Active per gram of food that gives the dose when `share_eaten` of their weight is eaten a day. [mg/g]

    Notes
    -----
    mg/kg/day = mg/g × share × 1000; with a share lost to the water, more goes in: ÷ (1 − lost).
    """
    return dose_mg_kg_day / (share_eaten * G_PER_KG) / (1.0 - lost)


def dose_from_food(strength_mg_per_g: float, share_eaten: float, lost: float = 0.0) -> float:
    """What a food gives the fish when `share_eaten` of their weight is eaten a day. [mg/kg/day]"""
    return strength_mg_per_g * share_eaten * G_PER_KG * (1.0 - lost)


class MedicatedFood(msgspec.Struct, frozen=True, kw_only=True):
    """A food worked out. Food in g as fed; `dose_*` is what the fish get at little, likely and much eaten."""

    food_g_day: float
    dry_food_g_day: float
    active_mg_day: float
    strength_mg_g: float  # per g of this food
    batch_g: float
    batch_mg: float
    dose_low: float
    dose_likely: float
    dose_high: float
    level_if_leached_mg_l: float | None = None  # the whole day's food, in the tank's water


class FoodPlan(msgspec.Struct, frozen=True, kw_only=True):
    """What a medicated food is worked out from."""

    dose_mg_kg_day: float
    biomass_g: float
    ration: float  # share of their weight they eat a day, as dry food
    ration_low: float
    ration_high: float
    days: float
    dry_moisture: float
    moisture: float | None = None  # of this food; None: it is dry food
    eaten: float = 1.0
    leached: float = 0.0
    batch_g: float | None = None  # of this food
    volume_l: float | None = None


def medicated_food(plan: FoodPlan) -> MedicatedFood:
    """Work a medicated food out.

    Parameters
    ----------
    plan : FoodPlan
        Dose [mg/kg/day], fish [g], ration as share of their weight a day in dry food [-], and the food.

    Returns
    -------
    MedicatedFood
        Food a day, active a day, strength, batch, and the dose at three appetites.

    Notes
    -----
    The dose follows appetite, not the guess of the fish's weight: strength × share eaten. So a wrong length
    curve does not move it as long as they are fed by what they eat. Arithmetic; the ration is elicited.
    """
    wet = food_as_fed(1.0, plan.dry_moisture, plan.dry_moisture if plan.moisture is None else plan.moisture)
    per_dry_g = strength_mg_g(plan.dose_mg_kg_day, plan.ration * plan.eaten, plan.leached)
    dry_day = plan.biomass_g * plan.ration
    batch = dry_day * wet * plan.days if plan.batch_g is None else plan.batch_g
    low, likely, high = (
        dose_from_food(per_dry_g, share * plan.eaten, plan.leached)
        for share in (plan.ration_low, plan.ration, plan.ration_high)
    )
    day_mg = per_dry_g * dry_day
    return MedicatedFood(
        food_g_day=dry_day * wet,
        dry_food_g_day=dry_day,
        active_mg_day=plan.dose_mg_kg_day * plan.biomass_g / G_PER_KG,
        strength_mg_g=per_dry_g / wet,
        batch_g=batch,
        batch_mg=per_dry_g / wet * batch,
        dose_low=low,
        dose_likely=likely,
        dose_high=high,
        level_if_leached_mg_l=None if plan.volume_l is None else day_mg / plan.volume_l,
    )


def batch_for_packet_g(packet_mg: float, strength_mg_per_g: float) -> float:
    """Food that one whole packet makes right. [g]"""
    return packet_mg / strength_mg_per_g
