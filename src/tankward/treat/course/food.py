"""Medicine in the food: a batch that can be weighed or takes whole packets, fed for so many days. Rule 10."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.acts import Feed, LookAgain
from tankward.room.time import add_hours
from tankward.treat.amounts.eaters import Eaters
from tankward.treat.amounts.food import MedicatedFood, batch_for_packet_g
from tankward.treat.amounts.kitchen import MEALS, OFFERED_MIN, Kitchen

from .asked import Asked
from .dates import DAY_H, by_regimen
from .finish import finished
from .food_amounts import (
    as_made,
    dose_of,
    fast_of,
    kitchen_of,
    packet_mg,
    ration_of,
    strengths,
    who_eats,
    worked_food,
)
from .food_judged import cautions, leached, refuse_beyond
from .records import Course, Recipe, Valued
from .steps import Steps, estimate, exactly, read_water


def food_course(asked: Asked) -> Course:
    """A medicated food, mixed once and fed for the days of the course.

    Raises
    ------
    BadInput
        Where of one fish nothing is known, the regimen has no dose, or the packet names no actives.
    Refused
        Over three times the published dose; or where what leaches harms somebody.
    """
    if asked.unnamed:
        raise BadInput("supply", asked.chosen.supply_name, "names no actives: it can't be dosed in food.")
    chosen = asked.chosen
    who = who_eats(asked)
    grams = who.grams
    ration, source, status = ration_of(asked, grams)
    timing = by_regimen(chosen.regimen)
    days = asked.food.days or max(1.0, (chosen.regimen.duration_h_high or DAY_H) / DAY_H)
    made = worked_food(asked, dose_of(asked), grams, ration, days)
    held = strengths(asked, made)
    refuse_beyond(held, chosen.one.id, made, asked.facts)
    packet = packet_mg(asked)
    made = as_made(asked, made, packet)
    plan = kitchen_of(asked, made, packet, days)
    limits, bears, warned = leached(asked, held, made)
    steps = Steps(asked.key, asked.facts, chosen.option.people)
    read_water(steps, asked.start)
    amount = recipe_answer(asked, made, plan, who, ration, source, status)
    steps.add(
        asked.start,
        "recipe",
        LookAgain(what="mix the food"),
        values=_recipe_values(made, packet),
        amount=amount,
        measured=plan.measured,
        hazard=True,
    )
    for hours in timing.at_h:
        _feed(steps, held, made, add_hours(asked.start, hours), days)
    recipe = Recipe(
        kind="food",
        food=made,
        packets=made.batch_mg / packet if packet else None,
        for_one_packet_g=batch_for_packet_g(packet, made.strength_mg_g) if packet else None,
        weigh=plan.measured,
        kitchen=plan,
        fast=fast_of(asked),
        days_per_batch=made.batch_g / made.food_g_day,
        biomass_g=grams,
        weighed=who.weighed,
        grown=who.grown,
        level_if_all_mg_l=made.batch_mg / asked.request.volume_l.value if asked.request.volume_l else None,
        ration=(ration.low, ration.value, ration.high),
    )
    return finished(
        asked,
        steps,
        add_hours(asked.start, timing.at_h[-1] + days * DAY_H),
        timing=timing,
        volume_l=asked.request.volume_l,
        level=strength_answer(made),
        limits=limits,
        bears=bears,
        more=(*warned, *cautions(asked, who)),
        recipe=recipe,
    )


def _recipe_values(made: MedicatedFood, packet: float) -> dict[str, Valued | str]:
    values: dict[str, Valued | str] = {
        "batch": exactly(made.batch_g, "g"),
        "active": exactly(made.batch_mg, "mg"),
        "strength": exactly(made.strength_mg_g, "mg/g"),
        "dose": estimate(Estimate(made.dose_likely, made.dose_low, made.dose_high), "mg/kg/day"),
    }
    return values | ({"packets": exactly(made.batch_mg / packet)} if packet else {})


def _feed(steps: Steps, held: Mapping[str, float], made: MedicatedFood, start: datetime, days: float) -> None:
    """Each day's food, in two meals; then the usual food again."""
    # As dry food: the ammonia of a day is that of its dry matter, whatever water the food holds.
    wet = made.food_g_day / made.dry_food_g_day
    act = Feed(food_g=made.dry_food_g_day, actives_mg_per_g={s: x * wet for s, x in held.items()})
    for day in range(round(days)):
        values: dict[str, Valued | str] = {
            "day": exactly(float(day + 1)),
            "meals": exactly(float(MEALS), "", status="common-practice"),
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
    asked: Asked,
    made: MedicatedFood,
    plan: Kitchen,
    who: Eaters,
    ration: Estimate,
    source: str,
    status: str,
) -> Answer:
    """How much active goes into the batch, and what the fish get at little, likely and much eaten."""
    work, grams, kind = Working("they are fed by appetite, and eat alike"), who.grams, plan.kind
    by = "weighed" if who.weighed else "number × weight by the length curve"
    work.step("fish", by, grams.value, "g", status="computed" if who.weighed else "memory")
    work.step("eaten", "share of their weight a day", ration.value, "share", source=source, status=status)
    regimen = asked.chosen.regimen
    dose = dose_of(asked)
    work.step("dose", "for the fish", dose, "mg/kg/day", source=regimen.source, status=regimen.status)
    per_dry = made.strength_mg_g * made.food_g_day / made.dry_food_g_day
    work.step("strength of dry food", "dose ÷ eaten", per_dry, "mg/g")
    wet = f"(1 − {kind.dry_moisture:g}) ÷ (1 − {kind.moisture:.3g})"
    as_fed = made.food_g_day / made.dry_food_g_day
    work.step("weight as this food", wet, as_fed, "times", source=kind.source, status=kind.status)
    work.step("food a day", "fish × eaten × weight as this food", made.food_g_day, "g")
    work.step("active a day", "dose × fish", made.active_mg_day, "mg")
    work.step("strength", "strength of dry food ÷ weight as this food", made.strength_mg_g, "mg/g")
    work.step("batch", "what can be weighed, or what whole packets make right", made.batch_g, "g")
    work.step("into the batch", "strength × batch", made.batch_mg, "mg", inputs={"batch g": made.batch_g})
    if not who.weighed:
        work.caution("Weight from a length curve can be out by half or double: weigh a netful.")
    also: tuple[Named, ...] = (
        Named.of("food in the batch", made.batch_g, "g"),
        Named.of("food a day", made.food_g_day, "g", grams.low * ration.low, grams.high * ration.high),
        Named.of("dose", made.dose_likely, "mg/kg/day", made.dose_low, made.dose_high),
    )
    if made.level_if_leached_mg_l is not None:
        also += (Named.of("in the water, if a day's food leaches", made.level_if_leached_mg_l, "mg/L"),)
    if made.level_if_leached_mg_l is not None and asked.request.volume_l is not None:
        all_of_it = made.batch_mg / asked.request.volume_l.value
        also += (Named.of("in the water, if the whole batch falls in", all_of_it, "mg/L"),)
    return answer(made.batch_mg, "mg", work, also=also, says="{shown}.")


def strength_answer(made: MedicatedFood) -> Answer:
    """How strong the food is."""
    work = Working()
    value = work.step("strength", "active ÷ food", made.strength_mg_g, "mg/g")
    return answer(value, "mg/g", work, says="{shown}.")
