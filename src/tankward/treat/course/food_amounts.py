"""What a medicated food is worked out from: who eats how much, what they are to get, what a packet holds."""

from __future__ import annotations

from math import ceil

from msgspec.structs import replace

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.treat.amounts.eaters import Eaters, eaters
from tankward.treat.amounts.food import FoodPlan, MedicatedFood, batch_for_packet_g, medicated_food
from tankward.treat.amounts.food_kinds import FoodKind, food_kind
from tankward.treat.amounts.kitchen import KEEPS_FROZEN_D, Kitchen, kitchen, least_batch_g
from tankward.treat.remedies.leach import dose_of_regimen, sick_ration

from .asked import Asked
from .doses import in_packet, of_supply
from .records import Fast

POURED = ("g", "mL", "ml", "drop", "drops")  # a supply of which any part can be taken
MG_PER_G = 1000.0
HOLLOW = ("belly_sunken", "back_thin", "eats_but_thin")
YOUNG = ("fry", "juvenile")
FAST_H, GRAVID_H = (12.0, 24.0), 12.0  # procedure medicated_feed_7 [common-practice]; safety rule 11


def who_eats(asked: Asked) -> Eaters:
    """Grams of all the fish; shrimp and snails are not counted.

    Raises
    ------
    BadInput
        If there are none, or of one nothing is known to work it out from.
    """
    if asked.food.fish_g is not None:
        return Eaters(grams=asked.food.fish_g, weighed=True)
    return eaters(asked.chosen.situation.fish, asked.facts)


def ration_of(asked: Asked, grams: Estimate) -> tuple[Estimate, str, str]:
    """Share of their weight that they eat a day, as dry food, with its source and status.

    What the keeper weighed or said is spread as wide, in proportion, as what sick fish eat.
    """
    usual, row = sick_ration(asked.facts)
    told = asked.food.ration.value if asked.food.ration else None
    if asked.food.food_g is not None:
        told = asked.food.food_g / grams.value
    if told is None:
        return usual, row.source, row.status
    spread = Estimate(told, told * usual.low / usual.value, told * usual.high / usual.value)
    return spread, "none", "computed"


def dose_of(asked: Asked) -> float:
    """What the fish are to get. [mg/kg/day]

    Raises
    ------
    BadInput
        If the regimen has no number.
    """
    regimen = asked.chosen.regimen
    dose = dose_of_regimen(regimen, asked.facts) if asked.level is None else asked.level
    if dose is None:
        raise BadInput("regimen", regimen.id, "has no published dose.")
    return dose


def kind_of(asked: Asked) -> FoodKind:
    """Which food takes it; dry flakes where nothing was said."""
    return food_kind(asked.food.kind, asked.facts, asked.food.moisture)


def worked_food(asked: Asked, dose: float, grams: Estimate, ration: Estimate, days: float) -> MedicatedFood:
    """The food of these fish for so many days, no longer than it keeps; not yet made larger to be weighed."""
    volume, kind = asked.request.volume_l, kind_of(asked)
    return medicated_food(
        FoodPlan(
            dose_mg_kg_day=dose,
            biomass_g=grams.value,
            ration=ration.value,
            ration_low=ration.low,
            ration_high=ration.high,
            days=min(days, KEEPS_FROZEN_D),
            dry_moisture=kind.dry_moisture,
            moisture=kind.moisture,
            volume_l=volume.value if volume else None,
        )
    )


def as_made(asked: Asked, made: MedicatedFood, packet: float) -> MedicatedFood:
    """The batch that whole packets make right, or the least that can be weighed."""
    if packet:
        mg = max(1, ceil(made.batch_mg / packet - 1e-9)) * packet
        return replace(made, batch_mg=mg, batch_g=batch_for_packet_g(mg, made.strength_mg_g))
    batch = max(made.batch_g, least_batch_g(asked.request.kit))
    return replace(made, batch_g=batch, batch_mg=batch * made.strength_mg_g)


def packet_mg(asked: Asked) -> float:
    """The active in one packet, tablet or capsule; 0 where it is weighed."""
    supply = asked.chosen.supply
    if supply is None or supply.unit in POURED:
        return 0.0
    return in_packet(supply, asked.facts).get(asked.chosen.one.id, 0.0)


def strengths(asked: Asked, made: MedicatedFood) -> dict[str, float]:
    """All that the food holds: a packet's other actives ride along. [mg/g]"""
    lead, supply = asked.chosen.one.id, asked.chosen.supply
    held = {lead: 1.0} if supply is None else in_packet(supply, asked.facts)
    return {active: made.strength_mg_g * amount / held[lead] for active, amount in held.items()}


def kitchen_of(asked: Asked, made: MedicatedFood, packet: float, days: float) -> Kitchen:
    """The batch as a recipe, with the keeper's own tools."""
    supply, kit, facts, one = asked.chosen.supply, asked.request.kit, asked.facts, asked.chosen.one
    units = 0.0 if supply is None else made.batch_mg / in_packet(supply, facts)[one.id]
    liquid = supply is not None and not packet and supply.unit != "g"
    return kitchen(
        made,
        kind_of(asked),
        days,
        kit,
        facts,
        one=one,
        product_mg=made.batch_mg if supply is None else units * MG_PER_G,
        packets=made.batch_mg / packet if packet else None,
        poured=of_supply(supply, units, kit, facts).measured if liquid and supply is not None else None,
    )


def fast_of(asked: Asked) -> Fast:
    """How long nothing is fed before: thin fish and fry not at all, gravid females 12 h at most. Rule 11."""
    fish, seen = asked.chosen.situation.fish, set(asked.request.seen)
    if seen & set(HOLLOW) or any(s.stage in YOUNG for s in fish):
        return Fast(low_h=0.0, high_h=0.0, kind="none")
    if any(s.gravid for s in fish):
        return Fast(low_h=0.0, high_h=GRAVID_H, kind="short")
    return Fast(low_h=FAST_H[0], high_h=FAST_H[1], kind="usual")
