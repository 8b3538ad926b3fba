"""What a day's medicated food makes in the water if all of it leaches: the worst that it can do. Rule 10."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.knowledge.records.feeding import FoodFigure
from tankward.knowledge.records.substance import Regimen
from tankward.quantities.parse import Estimate
from tankward.treat.amounts.food import dose_from_food

SICK = "sick"  # feeding rate of fish that are sick but eat
PER_FISH = ("mg/kg", "mg/kg/day")
PER_FEED = "g/kg feed"


def sick_ration(facts: Facts) -> tuple[Estimate, FoodFigure]:
    """Share of their weight that sick fish eat a day, as dry food: little, likely, much; and its row."""
    row = next(r for r in facts.feeding.feeding_rate if r.id == SICK)
    if row.span is None:
        raise ValueError("the feeding rate of sick fish has no numbers")
    low, high = row.span
    return Estimate((low + high) / 200, low / 100, high / 100), row


def dose_of_regimen(regimen: Regimen, facts: Facts) -> float | None:
    """What the fish get of it. [mg/kg/day] None where it has no number."""
    if regimen.low is None:
        return None
    if regimen.unit == PER_FEED:
        return dose_from_food(regimen.low, sick_ration(facts)[0].value)
    return regimen.low if regimen.unit in PER_FISH else None


def leached_mg_l(
    regimen: Regimen, fish_g: Estimate | None, volume_l: Estimate | None, facts: Facts
) -> float | None:
    """A day's dose for all the fish, dissolved in their water. [mg/L] None where something is not known."""
    dose = dose_of_regimen(regimen, facts)
    if dose is None or fish_g is None or volume_l is None:
        return None
    return dose * fish_g.value / 1000.0 / volume_l.value
