"""Sentences of a recipe: medicine in the food, from what is weighed to what is thrown away."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.quantities.working import Answer
from tankward.room.acts import Feed
from tankward.room.things import Kit, Supply
from tankward.treat.amounts.food import MedicatedFood
from tankward.treat.amounts.kitchen import (
    KEEPS_COLD_D,
    KEEPS_FROZEN_D,
    OFFERED_MIN,
    Kitchen,
)
from tankward.treat.course.records import Course, CourseStep, Recipe

from .acts import listed, upper
from .measured import counted
from .recipe_drug import PER_KG, drug_off, food_name, grams, is_stock, millilitres, scale_step, taken_words
from .recipe_steps import Said, making
from .step_parts import Context

WHAT_FOR = (
    "Sick fish that still eat are best reached by their food. Leave open what you don't know: "
    "the fish's own sizes and what sick fish usually eat are taken."
)
RULES = (
    "This food first, by itself, a few crumbs at a time, until they stop.",
    f"{OFFERED_MIN:g} minutes, then out with what is left: it leaches and feeds the ammonia.",
    "Write down who ate. A fish that has not eaten for a day is not treated: a tub, or a vet.",
    "No second helping for a missed meal.",
)
NEVER_WEIGH = "Weigh nothing lighter than this list says: the batch is made large for that."
LEFT = (
    "When the course is over, what is left goes into a tied bag and the household rubbish: "
    "not down the drain, not to other fish, not kept for another time."
)
FASTS = {
    "none": "No fasting before: thin fish and fry are fed at every meal.",
    "short": "No fasting over 12 hours before: one of them is about to give birth.",
    "usual": "Nothing to eat for 12 to 24 hours before the first meal; adults only. Usual practice.",
}
BITTER = (
    "It tastes bitter: offer the same food plain for a day or two first, so that they know it. "
    "Recalled, not read."
)


class ToSay(Protocol):
    """A recipe worked out."""

    @property
    def course(self) -> Course: ...
    @property
    def kit(self) -> Kit: ...
    @property
    def shelf(self) -> Mapping[str, Supply]: ...
    @property
    def animals(self) -> str: ...
    @property
    def own_dose(self) -> bool: ...
    @property
    def per_food(self) -> bool: ...


class RecipeSaid(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a page or a sheet shows of a recipe."""

    title: str
    why: str
    doses: tuple[tuple[str, str], ...]
    apart: str
    about: tuple[tuple[str, str], ...]
    weigh: tuple[tuple[str, str, str], ...]  # how much, of what, with which tool
    off: str
    steps: tuple[Said, ...]
    feed_heading: str
    rules: tuple[str, ...]
    keep: tuple[str, ...]
    water: tuple[str, ...]


def recipe_of(course: Course) -> tuple[Recipe, MedicatedFood, Kitchen]:
    """The parts of a course by food; every one has them."""
    recipe = course.recipe
    if recipe is None or recipe.food is None or recipe.kitchen is None:
        raise ValueError("only a course by food has a recipe")
    return recipe, recipe.food, recipe.kitchen


def mixing(course: Course) -> CourseStep:
    """The step at which the food is mixed."""
    return next(s for s in course.steps if s.kind == "recipe")


def working_of(course: Course) -> Answer:
    """How its numbers were got."""
    found = mixing(course).amount
    if found is None:
        raise ValueError("a recipe has its working")
    return found


def recipe_said(made: ToSay, facts: Facts) -> RecipeSaid:
    """A recipe in words."""
    course = made.course
    _, food, plan = recipe_of(course)
    c = Context(course=course, facts=facts, kit=made.kit, shelf=made.shelf)
    return RecipeSaid(
        title=title(c),
        why=why(course, c.name),
        doses=doses(food),
        apart=apart(food, c.name, made.per_food),
        about=about(made, course, facts),
        weigh=weigh(c),
        off=off_words(plan),
        steps=making(c, course.people),
        feed_heading=feed_heading(plan),
        rules=(*((BITTER,) if c.course.substance in _bitter(facts) else ()), *_fast(course), *RULES),
        keep=keep(course, c.name),
        water=water_lines(course, plan),
    )


def _bitter(facts: Facts) -> set[str]:
    row = next((p for p in facts.feeding.palatability if p.id == "bitter"), None)
    return {s for s in facts.substances if row is not None and s in row.statement}


def _fast(course: Course) -> tuple[str, ...]:
    recipe, *_ = recipe_of(course)
    return (FASTS[recipe.fast.kind],) if recipe.fast else ()


def title(c: Context) -> str:
    """The one sentence: what goes into how much."""
    _, _, plan = recipe_of(c.course)
    return f"{upper(taken_words(c))} into {shown(plan.batch_g, 'g')} of {food_name(plan.kind.id)}."


def why(course: Course, name: str) -> str:
    """What that gives the fish."""
    recipe, food, _ = recipe_of(course)
    low, likely, high = recipe.ration or (0.0, 0.0, 0.0)
    eaten = shown_range(100 * low, 100 * high, "%")
    return (
        f"Each kilogram of fish then gets {shown(food.dose_likely, 'mg')} of {name} a day, as long as they "
        f"eat {shown(100 * likely, '%')} of their weight in dry food ({eaten})."
    )


def doses(food: MedicatedFood) -> tuple[tuple[str, str], ...]:
    """What the fish get at little, likely and much eaten."""
    return (
        (shown(food.dose_low, PER_KG), "if they eat little"),
        (shown(food.dose_likely, PER_KG), "as is likely"),
        (shown(food.dose_high, PER_KG), "if they eat much"),
    )


def apart(food: MedicatedFood, name: str, per_food: bool) -> str:
    """Drug for the fish and drug in the food, told apart."""
    held = shown(food.strength_mg_g, "mg")
    fish = shown(food.dose_likely, "mg")
    first = "You said it for the food: that is" if per_food else "Two different numbers:"
    return (
        f"{first} {fish} a day for each kilogram of fish, and {held} of {name} in each gram of food. "
        "Never swap them."
    )


def with_it(course: Course, food: MedicatedFood, facts: Facts) -> str:
    """What else the packet holds, for the fish."""
    fed = next((s.act for s in course.steps if isinstance(s.act, Feed) and s.act.actives_mg_per_g), None)
    if fed is None:
        return ""
    held = fed.actives_mg_per_g
    lead = held[course.substance]
    told = [
        f"{shown(food.dose_likely * x / lead, PER_KG)} of {facts.substances[s].names[0]}"
        for s, x in held.items()
        if s != course.substance
    ]
    return f"{listed(told)}, from the same packet" if told else ""


def about(made: ToSay, course: Course, facts: Facts) -> tuple[tuple[str, str], ...]:
    """For whom, how much a day, how long."""
    recipe, food, plan = recipe_of(course)
    fish = recipe.biomass_g
    weight = ""
    if fish is not None:
        by = "as weighed" if recipe.weighed else "by their length; weigh a netful to know"
        if recipe.grown:
            by = "as long as their kind grows, for no length is known; weigh a netful to know"
        spread = "" if fish.low == fish.high else f" ({shown_range(fish.low, fish.high, 'g')})"
        weight = f"about {shown(fish.value, 'g')}{spread}, {by}"
    rows = [
        ("For", made.animals),
        ("Fish", weight),
        ("They eat", f"{shown(food.dry_food_g_day, 'g')} of dry food a day: {as_fed(food, plan)}"),
        ("Dose", f"{shown(food.active_mg_day, 'mg')} a day for all of them"),
        ("With it", with_it(course, food, facts)),
        ("Days", plain_number(plan.portions.days)),
    ]
    return tuple((what, says) for what, says in rows if says)


def as_fed(food: MedicatedFood, plan: Kitchen) -> str:
    """The same dry matter as this food."""
    times = food.food_g_day / food.dry_food_g_day
    if times < SAME:
        return f"so much of this one, {shown(plan.portions.meal_g, 'g')} a meal"
    return (
        f"{shown(food.food_g_day, 'g')} of this one, {times:.1f} times as heavy with its water "
        f"({100 * plan.kind.moisture:.0f} %)"
    )


SAME = 1.05
JUG_ML = 50.0


def weigh(c: Context) -> tuple[tuple[str, str, str], ...]:
    """Everything that is weighed or measured, with which tool."""
    _, _, plan = recipe_of(c.course)
    scale = f"{scale_step(c.kit):g} g scale"
    rows = []
    if plan.packets is not None:
        supply = c.shelf.get(c.course.supply)
        rows.append((counted(plan.packets, supply.unit if supply else "packet"), "whole, never a part", ""))
    elif is_stock(plan) and plan.measured is not None and plan.measured.batch is not None:
        b = plan.measured.batch
        rows.append((grams(b.take / 1000.0, c), c.of, scale))
        rows.append((millilitres(b.into_ml), "water, for the bottle", "jug"))
        rows.append((millilitres(b.portion_ml), "out of the bottle", b.tool))
    elif plan.measured is not None:
        rows.append((taken_words(c), "", plan.measured.tool_name))
    else:
        rows.append((grams(plan.weigh_g or 0.0, c), c.of, scale))
        for n, mix in enumerate(plan.mixes, 1):
            if n > 1:
                rows.append((grams(mix.take_g, c), f"of mix {n - 1}, into mix {n}", scale))
            rows.append((grams(mix.with_g, c), f"ground dry food, into mix {n}", scale))
        rows.append((grams(plan.mix_g or 0.0, c), f"of mix {len(plan.mixes)}, into the food", scale))
    for one in plan.ingredients:
        amount = max(one.amount - _already(plan, one.what), 0.0)
        tool = scale if one.unit == "g" else "jug" if amount >= JUG_ML else "syringe"
        if amount > 0:
            coated = plan.kind.way == "coat" and one.what == "dry-food"
            what = plan.kind.id if coated else NAMES[one.what]
            rows.append((grams(amount, c) if one.unit == "g" else millilitres(amount), what, tool))
    return tuple(rows)


NAMES = {
    "dry-food": "their usual dry food, ground",
    "frozen-food": "frozen food, thawed and drained",
    "gelatine": "gelatine powder",
    "water": "hot water",
    "oil": "kitchen oil",
}


def _already(plan: Kitchen, what: str) -> float:
    """What the drug brings with it: a mix is dry food, a bottle's portion is water."""
    if what == "dry-food" and plan.mix_g is not None:
        return plan.mix_g
    if what == "water" and plan.measured is not None and plan.measured.batch is not None:
        return plan.measured.batch.portion_ml
    return 0.0


def off_words(plan: Kitchen) -> str:
    """How far the tools alone may put the medicine out."""
    if plan.packets is not None:
        return "A whole packet is as right as it was filled; the food is weighed."
    return f"{drug_off(plan)} {NEVER_WEIGH}"


def feed_heading(plan: Kitchen) -> str:
    """What one meal is, how often, how long."""
    p = plan.portions
    days = "one day" if p.days == 1 else f"{plain_number(p.days)} days"
    return f"{upper(meal_words(plan))} a meal, {p.meals_day} meals a day, {days}"


def meal_words(plan: Kitchen) -> str:
    """One meal as it lies there."""
    p = plan.portions
    if p.edge_mm is None:
        return "one heap"
    return "one square" if p.pieces_each == 1 else f"{p.pieces_each} squares"


def keep(course: Course, name: str) -> tuple[str, ...]:
    """How long, where, and what becomes of the rest."""
    _, _, plan = recipe_of(course)
    again = f" It is made {plan.batches} times: it does not keep longer." if plan.batches > 1 else ""
    coat = " Coated food is best made fresh each day; gel loses less." if plan.kind.way == "coat" else ""
    return (
        f"In the freezer up to {KEEPS_FROZEN_D:g} days, in the fridge {KEEPS_COLD_D:g}.{again}{coat}",
        f"A closed box of its own, not beside what the family eats, out of children's reach. Label: "
        f"“{name} for fish, not food”, the day, the tank.",
        "Bowl, spoon, tray and syringe are marked and never used for food again.",
        LEFT,
    )


def water_lines(course: Course, plan: Kitchen) -> tuple[str, ...]:
    """What gets into the water."""
    recipe, food, _ = recipe_of(course)
    low, high = (100 * x for x in plan.lost)
    lost = shown_range(low, high, "%") if high - low > 0.5 else shown(high, "%")
    told = [
        f"In {OFFERED_MIN:g} minutes {lost} of the medicine leaves this food (computed from trials with "
        "other coats). It is not made up for."
    ]
    if food.level_if_leached_mg_l is None or recipe.level_if_all_mg_l is None:
        return (*told, "How much it makes in the water is not worked out: the litres are not known.")
    day, whole = food.level_if_leached_mg_l, recipe.level_if_all_mg_l
    return (
        f"If a whole day's food leaches: {shown(day, 'mg/L')} in the tank, added to what is still in.",
        f"If the whole batch falls in: {shown(whole, 'mg/L')}.",
        *told,
    )
