"""Medicine in the food: a batch that can be weighed or takes whole packets, fed for so many days. Rule 10."""

from __future__ import annotations

from datetime import datetime, timedelta

from tankward.judge.ceilings import ceiling
from tankward.judge.limits import limits
from tankward.judge.verdicts import Verdict, judge_levels, refused
from tankward.quantities.faults import BadInput, Reason
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.acts import Feed, LookAgain
from tankward.room.time import add_hours
from tankward.room.weight import stock_g
from tankward.treat.amounts.calc.food import whole_packets
from tankward.treat.amounts.calc.ration import dry_food
from tankward.treat.amounts.food import (
    FoodPlan,
    MedicatedFood,
    batch_for_packet_g,
    dose_from_food,
    medicated_food,
)
from tankward.treat.amounts.measure import measurable
from tankward.treat.amounts.published import published, refuse_if_beyond

from .asked import Asked
from .choice import refuse
from .dates import DAY_H, by_regimen
from .doses import in_packet
from .finish import finished
from .records import Course, Recipe, Valued
from .steps import Steps, estimate, exactly, read_water

SICK = "sick"  # feeding rate of fish that are sick but eat
MEALS = 2.0  # a day [feeding rate of sick fish]
OFFERED_MIN = 5.0  # then out with what is left [safety rule 10 worked by an expert: common practice]
NOT_EATING = ("no_appetite",)


def food_course(asked: Asked) -> Course:
    """A medicated food, mixed once and fed for the days of the course."""
    facts, chosen = asked.facts, asked.chosen
    grams = biomass_of(asked)
    ration, source, status = ration_of(asked)
    dose = dose_of(asked, ration.value)
    timing = by_regimen(chosen.regimen)
    days = max(1.0, (chosen.regimen.duration_h_high or DAY_H) / DAY_H)
    made = _worked(asked, dose, grams, ration, days)
    _refuse_beyond(asked, made)
    packet = packet_mg(asked)
    if packet:
        made = whole_packets(made, packet)
    weigh = None if packet else measurable(made.batch_mg, "mg", asked.request.kit, facts, chosen.one)
    bears, warned = leached(asked, made)
    steps = Steps(asked.key, facts, chosen.option.people)
    read_water(steps, asked.start)
    amount = recipe_answer(made, dose, grams, ration, source, status)
    steps.add(asked.start, "recipe", LookAgain(what="mix the food"), values=_recipe_values(made, packet),
              amount=amount, measured=weigh, hazard=True)  # fmt: skip
    for hours in timing.at_h:
        _feed(steps, asked, made, add_hours(asked.start, hours), days)
    ends = add_hours(asked.start, timing.at_h[-1] + days * DAY_H)
    return finished(
        asked, steps, ends, timing=timing, volume_l=asked.request.volume_l, level=strength_answer(made),
        bears=bears, more=(*warned, *cautions(asked, grams)),
        recipe=Recipe(
            kind="food", food=made, packets=made.batch_mg / packet if packet else None,
            for_one_packet_g=batch_for_packet_g(packet, made.strength_mg_g) if packet else None, weigh=weigh,
            days_per_batch=made.batch_g / made.food_g_day, biomass_g=grams,
            ration=(ration.low, ration.value, ration.high),
        ),
    )  # fmt: skip


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
    """Share of their weight that sick fish eat a day, as dry food: little, likely, much."""
    row = next(r for r in asked.facts.feeding.feeding_rate if r.id == SICK)
    low, high = row.span or (0.5, 1.5)
    return Estimate((low + high) / 200, low / 100, high / 100), row.source, row.status


def dose_of(asked: Asked, ration: float) -> float:
    """What the fish are to get. [mg/kg/day]

    Raises
    ------
    BadInput
        If the regimen has no number.
    """
    if asked.level is not None:
        return asked.level
    regimen = asked.chosen.regimen
    if regimen.low is None:
        raise BadInput("regimen", regimen.id, "has no published dose.")
    if regimen.unit == "g/kg feed":
        return dose_from_food(regimen.low, ration)
    return regimen.low


def _worked(asked: Asked, dose: float, grams: Estimate, ration: Estimate, days: float) -> MedicatedFood:
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


def _refuse_beyond(asked: Asked, made: MedicatedFood) -> None:
    """Over three times the published dose it is refused, at a good appetite too (rule 10)."""
    span = published(asked.chosen.one, ("feed",), "fish_dose")
    if span is not None:
        refuse_if_beyond(made.dose_likely, "mg/kg/day", span)
        refuse_if_beyond(made.dose_high, "mg/kg/day", span)


def packet_mg(asked: Asked) -> float:
    """The active in one packet, tablet or capsule; 0 where it is weighed."""
    supply = asked.chosen.supply
    if supply is None or supply.unit in ("g", "mL", "ml", "drop", "drops"):
        return 0.0
    return in_packet(supply, asked.facts).get(asked.chosen.one.id, 0.0)


def leached(asked: Asked, made: MedicatedFood) -> tuple[tuple[Verdict, ...], tuple[Reason, ...]]:
    """Everybody against a day's food wholly leached into the water: the worst that it can do.

    Raises
    ------
    Refused
        Where even that harms somebody.
    """
    level = made.level_if_leached_mg_l
    if level is None:
        return (), ()
    one, s = asked.chosen.one.id, asked.chosen.situation
    level += s.still_in.get(one, 0.0)
    rows = limits(one, s.stock, asked.facts, hours=DAY_H, not_there=s.not_there, trials=s.trials)
    bears = judge_levels(rows, {one: (level, level, level)}, DAY_H, asked.facts)
    refuse(refused(bears))
    found = ceiling(one, level, asked.facts)
    if found.says == "refuse" and found.reason is not None:
        refuse((found.reason,))
    return bears, (found.reason,) if found.says == "warn" and found.reason is not None else ()


def _recipe_values(made: MedicatedFood, packet: float) -> dict[str, Valued | str]:
    values: dict[str, Valued | str] = {
        "batch": exactly(made.batch_g, "g"),
        "active": exactly(made.batch_mg, "mg"),
        "strength": exactly(made.strength_mg_g, "mg/g"),
        "dose": estimate(Estimate(made.dose_likely, made.dose_low, made.dose_high), "mg/kg/day"),
    }
    return values | ({"packets": exactly(made.batch_mg / packet)} if packet else {})


def _feed(steps: Steps, asked: Asked, made: MedicatedFood, start: datetime, days: float) -> None:
    """Each day's food, in two meals; then the usual food again."""
    act = Feed(food_g=made.food_g_day, actives_mg_per_g={asked.chosen.one.id: made.strength_mg_g})
    for day in range(round(days)):
        values: dict[str, Valued | str] = {
            "day": exactly(float(day + 1)),
            "meals": exactly(MEALS, "", status="common-practice"),
            "minutes": exactly(OFFERED_MIN, "min", status="common-practice"),
        }
        steps.add(start + timedelta(days=day), "feed", act, values=values, amount=day_answer(made))
    steps.add(start + timedelta(days=days), "feed-usual", Feed(usual=1.0))


def day_answer(made: MedicatedFood) -> Answer:
    """Grams of this food a day."""
    work = Working()
    work.step("food a day", "biomass × ration", made.food_g_day, "g")
    return answer(made.food_g_day, "g", work, says="{shown} of this food a day.")


def recipe_answer(
    made: MedicatedFood, dose: float, grams: Estimate, ration: Estimate, source: str, status: str
) -> Answer:
    """How much active goes into the batch, and what the fish get at little, likely and much eaten."""
    work = Working("they are fed by appetite, and eat alike")
    work.step("fish", "number × weight by the length curve", grams.value, "g", status="memory")
    work.step("eaten", "share of their weight a day", ration.value, "share", source=source, status=status)
    work.step("dose", "published", dose, "mg/kg/day")
    work.step("strength", "dose ÷ eaten", made.strength_mg_g, "mg/g")
    work.step("into the batch", "strength × batch", made.batch_mg, "mg", inputs={"batch g": made.batch_g})
    work.caution("Weight from a length curve can be out by half or double: weigh a netful.")
    also: tuple[Named, ...] = (
        Named.of("food in the batch", made.batch_g, "g"),
        Named.of("food a day", made.food_g_day, "g", grams.low * ration.low, grams.high * ration.high),
        Named.of("dose", made.dose_likely, "mg/kg/day", made.dose_low, made.dose_high),
    )
    if made.level_if_leached_mg_l is not None:
        also += (Named.of("in the water, if a day's food leaches", made.level_if_leached_mg_l, "mg/L"),)
    return answer(made.batch_mg, "mg", work, also=also, says="{shown}.")


def strength_answer(made: MedicatedFood) -> Answer:
    """How strong the food is."""
    work = Working()
    value = work.step("strength", "active ÷ food", made.strength_mg_g, "mg/g")
    return answer(value, "mg/g", work, says="{shown}.")


def cautions(asked: Asked, grams: Estimate) -> tuple[Reason, ...]:
    """What is always said of a food (rule 10)."""
    found = [EATS, WEIGH]
    if set(NOT_EATING) & set(asked.request.seen):
        found.insert(0, DOES_NOT_EAT)
    return tuple(found)


EATS = Reason(
    kind="food-only-while-they-eat",
    because="A fish that has not eaten for a day is not treated by food.",
    would_change="those that do not eat into a tub beside it",
)
WEIGH = Reason(
    kind="weigh-a-netful",
    because="Weight from a length curve can be out by half or double.",
    would_change="weigh a netful: jar of tank water on the scale, zero, ten fish in without drips, read",
)
DOES_NOT_EAT = Reason(
    kind="not-eating",
    because="Some were seen not to eat: food does not reach them.",
    would_change="those into a tub, and another way for them",
)
