"""Medicine in food: `medicated-feed`, `feed-dose`."""

from __future__ import annotations

import math
from typing import Annotated

import msgspec

from tankward.knowledge.loader import load
from tankward.knowledge.records.substance import Substance
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown, shown_range
from tankward.quantities.faults import BadInput
from tankward.quantities.strength import Strength
from tankward.quantities.working import Answer, Named, Working, answer

from ..batch import FoodBatch, food_batch
from ..dosing import pieces, product_named
from ..food import (
    FoodPlan,
    MedicatedFood,
    batch_for_packet_g,
    dose_from_food,
    food_as_fed,
    medicated_food,
)
from ..published import beyond, published, refuse_if_beyond
from ..tools import COMMON_KIT
from .asks import FOOD, StrengthOrNot, SubstanceOrNot, the, who_may
from .ration import Biomass, DryFood, Moisture, dry_food

SICK = "sick"  # feeding rate of fish that are sick but eat
KEEPING = "keep"  # recipe_rule: how long a wet food lasts


def appetites(ration: float, work: Working | None = None) -> tuple[float, float]:
    """Little and much eaten around a ration: as wide, in proportion, as for sick fish that still eat."""
    row = next(r for r in load().feeding.feeding_rate if r.id == SICK)
    low, high = row.span or (1.0, 1.0)
    middle = (low + high) / 2
    ends = ration * low / middle, ration * high / middle
    for name, factor, end in zip(("little", "much"), (low, high), ends, strict=True):
        if work is not None:
            formula = f"ration × {factor / middle:g}"
            work.step(f"{name} eaten", formula, end, source=row.source, status=row.status)
    return ends


@calculation(
    "medicated-feed", unit="mg", formula="dose ÷ (ration × eaten × (1 − leached)) × batch", group=FOOD
)
def medicated_feed(
    dose: Annotated[float, Ask("fish_dose", "what the fish are to get", above=0)],
    biomass: Biomass,
    ration: Annotated[
        float | None,
        Ask(
            "share", "what they eat a day, share of their weight", above=0, at_most=1, or_as=("mass", "food")
        ),
    ] = None,
    days: Annotated[float, Ask("time", "for how many days", above=0, at_most=24 * 60)] = 120.0,
    strength: StrengthOrNot = None,
    batch: Annotated[float | None, Ask("mass", "how much of this food is made at once", above=0)] = None,
    moisture: Moisture = None,
    eaten: Annotated[
        float, Ask("share", "share of the food given that they really eat", above=0, at_most=1)
    ] = 1.0,
    leached: Annotated[
        float, Ask("share", "share of the drug that leaves the food in the water", at_least=0, at_most=0.95)
    ] = 0.0,
    food: Annotated[float | None, Ask("mass", "or: this food a day, weighed", above=0)] = None,
    substance: SubstanceOrNot = None,
) -> Answer:
    """How much active goes into a batch of food, and what the fish get of it."""
    work = Working("they are fed by appetite, and eat alike")
    plain = dry_food()
    share = _share(work, ration, food, biomass, plain, moisture)
    low, high = appetites(share, work)
    found = medicated_food(
        FoodPlan(
            dose_mg_kg_day=dose,
            biomass_g=biomass / 1000,
            ration=share,
            ration_low=low,
            ration_high=high,
            days=days / 24,
            dry_moisture=plain.moisture,
            moisture=moisture,
            eaten=eaten,
            leached=leached,
            batch_g=None if batch is None else batch / 1000,
        )
    )
    course_mg = found.batch_mg
    if batch is None and strength is not None and strength.unit not in {"mg", "L"}:
        found = whole_packets(found, strength.active_mg)
    _work_food(work, found)
    judged_food(work, the(substance), found.dose_likely, found.dose_high)
    _food_cautions(work, moisture is not None, eaten, leached)
    _weighing(work, found, strength)
    also = (*_also_food(found, strength), Named.of("active for all the days", course_mg, "mg"))
    return answer(
        found.batch_mg,
        "mg",
        work,
        also=also,
        says="Put {shown} of active into {batch} of food: {dose} for the fish.",
        batch=shown(found.batch_g, "g"),
        dose=shown_range(found.dose_low, found.dose_high, "mg/kg/day"),
    )


def whole_packets(found: MedicatedFood, packet_mg: float) -> MedicatedFood:
    """The batch that whole packets make right: a part of one can't be weighed."""
    packets = max(1, math.ceil(found.batch_mg / packet_mg - 1e-9))
    mg = packets * packet_mg
    return msgspec.structs.replace(found, batch_mg=mg, batch_g=batch_for_packet_g(mg, found.strength_mg_g))


def _weighing(work: Working, found: MedicatedFood, strength: Strength | None) -> None:
    """Say how to get so little into the food where no scale can weigh it."""
    if strength is not None and strength.unit not in {"mg", "L"}:
        parts = found.batch_mg / strength.active_mg
        if abs(parts - round(parts)) > WHOLE or parts < 1 - WHOLE:
            whole = shown(batch_for_packet_g(strength.active_mg, found.strength_mg_g), "g")
            work.caution(
                f"A part of a {strength.unit} can't be weighed: a whole one is right for {whole} of food."
            )
        return
    product_mg = found.batch_mg if strength is None else strength.product(found.batch_mg)
    plan = food_batch(found.strength_mg_g, COMMON_KIT)
    if plan is not None and product_mg < plan.weigh_g * 1000:
        work.caution(food_batch_says(plan))


def food_batch_says(plan: FoodBatch) -> str:
    """How a drug too little to weigh is brought into food."""
    thin = f", then {plan.steps} times over 1 part of that with 9" if plan.steps > 1 else ""
    mixed = f": mix {plan.weigh_g:g} g of drug with 9 times as much ground food{thin}" if plan.steps else ""
    what = "of the mix" if plan.steps else "of drug"
    food = shown(plan.food_g, "g")
    last = f"Then {plan.weigh_g:g} g {what} goes into {food} of food, right to about {100 * plan.off:.0f} %."
    return f"So little can't be weighed{mixed}. {last}"


WHOLE = 0.02  # nearer to a whole packet than anybody could tell


def _share(
    work: Working,
    ration: float | None,
    food: float | None,
    biomass: float,
    plain: DryFood,
    moisture: float | None,
) -> float:
    """What they eat as a share of their weight in dry food, from either way of saying it."""
    if ration is not None:
        return ration
    if food is None:
        raise BadInput("ration", "", "is missing: what do they eat a day? Write 1% or 0.4 g.")
    dry = food if moisture is None else food / food_as_fed(1.0, plain.moisture, moisture)
    return work.step("ration", "food a day ÷ biomass, as dry food", dry / biomass, inputs={"food": food})


def _work_food(work: Working, found: MedicatedFood) -> None:
    work.step("active a day", "dose × biomass", found.active_mg_day, "mg")
    work.step("food a day", "biomass × ration, as this food", found.food_g_day, "g")
    work.step("strength", "dose ÷ (ration × eaten × (1 − leached))", found.strength_mg_g, "mg/g")
    work.step("batch", "food a day × days, or as given", found.batch_g, "g")
    work.step("into the batch", "strength × batch", found.batch_mg, "mg")


def _also_food(found: MedicatedFood, strength: Strength | None) -> tuple[Named, ...]:
    named = [
        Named.of("food a day", found.food_g_day, "g"),
        Named.of("active a day", found.active_mg_day, "mg"),
        Named.of("strength of the food", found.strength_mg_g, "mg/g"),
        Named.of("food in the batch", found.batch_g, "g"),
        Named.of("dose when little is eaten", found.dose_low, "mg/kg/day"),
        Named.of("dose when the ration is eaten", found.dose_likely, "mg/kg/day"),
        Named.of("dose when much is eaten", found.dose_high, "mg/kg/day"),
    ]
    if strength is not None:
        named.append(product_named("of the product in the batch", found.batch_mg, strength))
    if strength is not None and strength.unit not in {"mg", "L"}:
        whole = batch_for_packet_g(strength.active_mg, found.strength_mg_g)
        named.append(Named.of(f"food for {pieces(1, strength.unit)}", whole, "g"))
    return tuple(named)


def judged_food(work: Working, one: Substance | None, likely: float, high: float) -> None:
    """Hold what the fish get against the published dose; over three times of it is refused.

    Raises
    ------
    Refused
        Where the likely dose, or the dose at a good appetite, is more than three times the published one.
    """
    if one is not None:
        who_may(work, one)
    span = None if one is None else published(one, ("feed",), "fish_dose")
    if span is None:
        if one is not None:
            work.caution("No recommended dose of it in food is known here: the amount is arithmetic only.")
        return
    work.step("published", "from the facts", span.high, span.unit, source=span.source, status=span.status)
    refuse_if_beyond(likely, "mg/kg/day", span)
    refuse_if_beyond(high, "mg/kg/day", span)
    if beyond(likely, span) in {"above", "below"}:
        work.caution(f"The likely dose lies {beyond(likely, span)} what is published ({span.shown}).")


def _food_cautions(work: Working, wet: bool, eaten: float, leached: float) -> None:
    work.caution("A fish that has not eaten for a day is not treated by food.")
    work.caution("Weight from a length curve can be out by half or double: weigh a netful.")
    if eaten == 1.0 or leached == 0.0:
        work.caution(
            "What is not eaten or leaches out ends in the water: offer it 5 minutes, then out with the rest."
        )
    if wet:
        rule = next(r for r in load().feeding.recipe_rule if r.id == KEEPING)
        work.caution(f"{rule.statement.capitalize()}.")


@calculation("feed-dose", unit="mg/kg/day", formula="strength × ration × 1000", group=FOOD)
def feed_dose(
    strength: Annotated[float, Ask("feed_strength", "active in the food, like 10 mg/g", above=0)],
    ration: Annotated[
        float, Ask("share", "what they eat of it a day, share of their weight", above=0, at_most=1)
    ],
    substance: SubstanceOrNot = None,
) -> Answer:
    """What a medicated food gives the fish."""
    work = Working("nothing leaches out before it is eaten")
    value = work.step(
        "dose",
        "strength × ration × 1000",
        dose_from_food(strength, ration),
        "mg/kg/day",
        inputs={"strength": strength, "ration": ration},
    )
    little, much = (dose_from_food(strength, share) for share in appetites(ration, work))
    judged_food(work, the(substance), value, much)
    work.caution("Milligrams per kilogram of fish, not per kilogram of food.")
    return answer(
        value,
        "mg/kg/day",
        work,
        also=(
            Named.of("when little is eaten", little, "mg/kg/day"),
            Named.of("when much is eaten", much, "mg/kg/day"),
        ),
        says="It gives the fish {shown}.",
    )
