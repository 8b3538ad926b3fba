"""Steps in a tub or in the food: a bath, fish set apart, a medicated food."""

from __future__ import annotations

from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.treat.course.records import CourseStep

from .acts import lowered, upper
from .measured import amount_of
from .recipe import meal_words, off_words, recipe_of, title
from .recipe_drug import taken_words
from .recipe_steps import making
from .step_parts import Context, StepSaid, published_words, text, valued


def bath_ready_said(step: CourseStep, c: Context) -> StepSaid:
    """The tub before the fish."""
    tub = valued(step, "tub")
    litres = shown(tub.value, "L") if tub else "the tub"
    return StepSaid(
        head=f"Make the tub ready: {litres} of tank water, air, a bowl of clean water",
        amount=litres,
        how="A tub that never held soap. As warm as the tank.",
    )


def bath_said(step: CourseStep, c: Context) -> StepSaid:
    """The medicine in, then the fish, for so many minutes."""
    assert step.measured is not None
    amount, minutes = amount_of(step.measured, c.of), valued(step, "minutes")
    time = f"{plain_number(minutes.value)} minutes" if minutes else ""
    first = " Half the published time, the first time." if _first(step, c) else ""
    return StepSaid(
        head=f"{amount.short} {amount.of} into the tub; then {text(step, 'who')} in for {time}",
        amount=f"{amount.short}, {time}",
        how=f"{amount.how} Stay beside it: out at once if one gasps, rolls or lies down.{first}".strip(),
        why=published_words(c),
    )


def _first(step: CourseStep, c: Context) -> bool:
    baths = [s for s in c.course.steps if s.kind == "bath"]
    return bool(baths) and baths[0].id == step.id


def fish_over_said(step: CourseStep, c: Context) -> StepSaid:
    """The fish into a tub of their own."""
    tub = valued(step, "tub")
    litres = shown(tub.value, "L") if tub else ""
    return StepSaid(
        head=f"{upper(text(step, 'who'))} into a bare tub: {litres}",
        amount=litres,
        how="Air, a cover, a hiding place. Its water is changed by half every day.",
        why="Those who can't bear it stay in the tank.",
    )


def recipe_said(step: CourseStep, c: Context) -> StepSaid:
    """The food mixed once, as its recipe has it."""
    _, food, plan = recipe_of(c.course)
    span = shown_range(food.dose_low, food.dose_high, "mg")
    gives = (
        f"Each kilogram of fish gets {span} a day as they eat little or much, likely "
        f"{shown(food.dose_likely, 'mg')}; each gram of food holds {shown(food.strength_mg_g, 'mg')}."
    )
    made = " ".join(one.head for one in making(c, ()))
    return StepSaid(
        head=f"Mix the food: {lowered(title(c))}",
        amount=taken_words(c),
        how=f"{made} {gives} {off_words(plan)}",
        why=published_words(c),
    )


def feed_said(step: CourseStep, c: Context) -> StepSaid:
    """One day's food."""
    day, meals, minutes = valued(step, "day"), valued(step, "meals"), valued(step, "minutes")
    number = f", day {plain_number(day.value)}" if day else ""
    times = (
        {1: "once", 2: "twice"}.get(round(meals.value), f"{plain_number(meals.value)} times") if meals else ""
    )
    amount = step.amount.shown if step.amount else ""
    out = f"offered {plain_number(minutes.value)} minutes, then out" if minutes else ""
    meal = meal_words(recipe_of(c.course)[2])
    return StepSaid(
        head=f"Feed the medicated food{number}",
        amount=amount,
        how=f"{upper(times)} a day {meal}, {out}. About {amount} in all: by appetite, not weighed.",
        why="What is not eaten leaches into the water and feeds the ammonia.",
    )
