"""Steps in a tub or in the food: a bath, fish set apart, a medicated food."""

from __future__ import annotations

from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.treat.course.records import CourseStep

from .acts import upper
from .measured import amount_of, counted
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
    """The food mixed once."""
    batch, packets, dose = valued(step, "batch"), valued(step, "packets"), valued(step, "dose")
    taken = (
        amount_of(step.measured, c.of).short
        if step.measured is not None
        else _packets(packets.value, c)
        if packets
        else ""
    )
    food = shown(batch.value * 1000, "mg") if batch else ""
    gives = ""
    if dose:
        span, likely = shown_range(dose.low, dose.high, "mg"), shown(dose.value, "mg")
        gives = f"Each kilogram of fish gets {span} a day as they eat little or much, likely {likely}."
    mixed = "Powder into a little water or oil, over the food, dried; or into gel, cut and frozen."
    return StepSaid(
        head=f"Mix the food: {taken} into {food} of dry food",
        amount=taken,
        how=f"{mixed} {gives} Gel and frozen food weigh more for the same dry matter.".strip(),
        why=published_words(c),
    )


def _packets(count: float, c: Context) -> str:
    supply = c.shelf.get(c.course.supply)
    return counted(count, supply.unit if supply else "packet")


def feed_said(step: CourseStep, c: Context) -> StepSaid:
    """One day's food."""
    day, meals, minutes = valued(step, "day"), valued(step, "meals"), valued(step, "minutes")
    number = f", day {plain_number(day.value)}" if day else ""
    times = (
        {1: "once", 2: "twice"}.get(round(meals.value), f"{plain_number(meals.value)} times") if meals else ""
    )
    amount = step.amount.shown if step.amount else ""
    out = f"offered {plain_number(minutes.value)} minutes, then out" if minutes else ""
    return StepSaid(
        head=f"Feed the medicated food{number}",
        amount=amount,
        how=f"{upper(times)} a day, {out}. About {amount} in all: by appetite, not weighed.",
        why="What is not eaten leaches into the water and feeds the ammonia.",
    )
