"""What a medicated food is worked out from: who eats how much, what they are to get, what a packet holds."""

from __future__ import annotations

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.weight import stock_g
from tankward.treat.amounts.calc.ration import dry_food
from tankward.treat.amounts.food import FoodPlan, MedicatedFood, medicated_food
from tankward.treat.amounts.measure import Measured, measurable
from tankward.treat.remedies.leach import dose_of_regimen, sick_ration

from .asked import Asked
from .doses import in_packet, of_supply

POURED = ("g", "mL", "ml", "drop", "drops")  # a supply of which any part can be taken


def biomass_of(asked: Asked) -> Estimate:
    """Grams of all the fish.

    Raises
    ------
    BadInput
        If one group has neither length nor weight: a part would look like all.
    """
    fish = asked.chosen.situation.fish
    weights = [(s, stock_g(s, asked.facts)) for s in fish]
    for stock, grams in weights:
        if grams is None:
            raise BadInput(
                "stock", stock.name, "has no length yet: without it their food can't be worked out."
            )
    if not weights:
        raise BadInput("stock", "", "is missing: who eats?")
    known = [g for _, g in weights if g is not None]
    return Estimate(*(sum(ends) for ends in zip(*((g.value, g.low, g.high) for g in known), strict=True)))


def ration_of(asked: Asked) -> tuple[Estimate, str, str]:
    """Share of their weight that sick fish eat a day, as dry food, with its source and status."""
    ration, row = sick_ration(asked.facts)
    return ration, row.source, row.status


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


def worked_food(asked: Asked, dose: float, grams: Estimate, ration: Estimate, days: float) -> MedicatedFood:
    volume = asked.request.volume_l
    return medicated_food(
        FoodPlan(
            dose_mg_kg_day=dose,
            biomass_g=grams.value,
            ration=ration.value,
            ration_low=ration.low,
            ration_high=ration.high,
            days=days,
            dry_moisture=dry_food().moisture,
            volume_l=volume.value if volume else None,
        )
    )


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


def weighed(asked: Asked, made: MedicatedFood, packet: float) -> Measured | None:
    """How the active for one batch is measured; None where whole packets are taken."""
    supply, kit, facts = asked.chosen.supply, asked.request.kit, asked.facts
    if packet:
        return None
    if supply is None:
        return measurable(made.batch_mg, "mg", kit, facts, asked.chosen.one)
    units = made.batch_mg / in_packet(supply, facts)[asked.chosen.one.id]
    return of_supply(supply, units, kit, facts).measured
