"""Steps of remedies without medicine: fish out, moved from tub to tub, siphoned every day, waited for."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tankward.quantities.digits import plain_number, shown
from tankward.treat.course.records import CourseStep

from .acts import part_words, upper
from .measured import degrees
from .step_parts import Context, StepSaid, text, valued

Sentence = Callable[[CourseStep, Context], StepSaid]
CLEAN = "Then scrub the empty tub, rinse it hot, and let it dry through before it is used again."
WHOLE = 0.99  # of the floor: as good as all of it
CUP = "With a cup and not with a net, with as little of their water as you can."


def _litres(step: CourseStep) -> str:
    tub = valued(step, "tub")
    return shown(tub.value, "L") if tub else ""


def tubs_ready_said(step: CourseStep, c: Context) -> StepSaid:
    """One tub or two, before the fish."""
    tubs = valued(step, "tubs")
    two = bool(tubs and tubs.value > 1)
    return StepSaid(
        head=f"Make {'two bare tubs' if two else 'a bare tub'} ready, {_litres(step)} of water each"
        if two
        else f"Make a bare tub ready: {_litres(step)} of water",
        amount=_litres(step),
        how="Food-safe, never held soap. New water as warm as the tank; air, a cover, one pipe to hide in. "
        f"Their own cup, net and siphon. {'The second stands by, empty and dry.' if two else ''}".strip(),
        why="New water holds none of it; what stands in the tank does.",
    )


def fish_out_said(step: CourseStep, c: Context) -> StepSaid:
    """A group of fish out of the tank."""
    return StepSaid(
        head=f"All {text(step, 'who')} out of the tank, into the tub: {_litres(step)}",
        amount=_litres(step),
        how=f"{CUP} Plugs out of the wall first. Shrimp, snails and plants stay.",
        why="Without fish what is left in the tank finds nobody and dies.",
    )


def tank_empty_said(step: CourseStep, c: Context) -> StepSaid:
    """The tank stands without fish."""
    days = valued(step, "days")
    span = f"{plain_number(days.value)} days" if days else "its days"
    return StepSaid(
        head=f"No fish goes back for {span}",
        how="Heater and filter stay on: in warm water it dies sooner. Shrimp and snails get a little food. "
        "No net, cup or wet hand goes from this tank to the tubs.",
        why="Moved out, shrimp, snails and plants would carry it along.",
    )


def transfer_said(step: CourseStep, c: Context) -> StepSaid:
    """Into the clean tub."""
    number, of, hours = valued(step, "number"), valued(step, "of"), valued(step, "hours")
    told = f", {plain_number(number.value)} of {plain_number(of.value)}" if number and of else ""
    every = f"every {plain_number(hours.value)} hours" if hours else "in time"
    return StepSaid(
        head=f"Move the fish to the clean tub{told}: {_litres(step)} of new water",
        amount=_litres(step),
        how=f"As warm as the tub they leave. {CUP} {CLEAN}",
        why=f"What fell off them stays behind. Moved {every}, it has not hatched yet: an hour early does no "
        "harm, an hour late may.",
    )


def tub_feed_said(step: CourseStep, c: Context) -> StepSaid:
    """One day's food in the tub."""
    food = valued(step, "food")
    amount = shown(food.value, "mg") if food else ""
    return StepSaid(
        head=f"Feed them in the tub: at most {amount} of dry food in all"
        if amount
        else "Feed them in the tub",
        amount=amount,
        how="Offered five minutes, then what is left comes out. On a day of moves just before one.",
        why="A tub without a filter holds the ammonia of little food.",
    )


def tub_siphon_said(step: CourseStep, c: Context) -> StepSaid:
    """The floor of the tub."""
    return StepSaid(
        head="Siphon the floor of the tub",
        how="Its own siphon. All of the floor; it counts as part of the water that is changed.",
        why="Droppings and leftovers make the ammonia.",
    )


def siphon_daily_said(step: CourseStep, c: Context) -> StepSaid:
    """The floor of the tank, every day."""
    floor = valued(step, "floor")
    part = part_words(floor.value) if floor else "part"
    all_of = floor is not None and floor.value >= WHOLE
    return StepSaid(
        head="Siphon the whole floor" if all_of else f"Siphon {part} of the floor",
        how="Right after the light comes on, with this tank's own siphon."
        + ("" if all_of else " The other part tomorrow."),
        why="What has fallen to the floor is out before it hatches. Some stays each time: it is slower than "
        "fish out, and not sure.",
    )


def fish_home_said(step: CourseStep, c: Context) -> StepSaid:
    """A group back into its tank."""
    within = valued(step, "within")
    near = f"The two waters within {degrees(within.value)} of each other. " if within else ""
    return StepSaid(
        head=f"{upper(text(step, 'who'))} back into the tank",
        how=f"{near}{CUP} Feed little for three days: the filter has fasted too.",
        why="What stayed in the tank has had no fish for long enough.",
    )


def count_said(step: CourseStep, c: Context) -> StepSaid:
    """Everyone looked at and counted."""
    return StepSaid(
        head="Count them: how many show it, who eats, back and belly",
        how="Write it down as a look. Nothing goes into the water.",
        why="Only numbers tell next week whether it is more or less.",
    )


def count_between_said(step: CourseStep, c: Context) -> StepSaid:
    """A short look between."""
    return StepSaid(
        head="Look: is one worse?",
        how="One that breathes fast, lies down or stops eating ends the waiting: count today and decide.",
        why="Waiting is for fish that are well.",
    )


def wait_decide_said(step: CourseStep, c: Context) -> StepSaid:
    """What the second count means."""
    return StepSaid(
        head="Count again, and decide",
        how="Fewer, or as many in fish that are well: leave them. More, or a thin one: see what can be done.",
        why="Healthy fish carry some of it, and may rid themselves of it.",
    )


READ_EMPTY = (
    "Back only while ammonia and nitrite are not seen by your test and it is as warm as the tub.",
    "A filter without fish goes hungry and may be weaker.",
)
HALF = "A tub has no ripe filter: half of its ammonia goes with the water."
DAILY = "New water for what was siphoned: swimmers and waste go with the old."

WITHOUT: Mapping[str, Sentence] = {
    "tubs-ready": tubs_ready_said,
    "fish-out": fish_out_said,
    "tank-empty": tank_empty_said,
    "transfer": transfer_said,
    "tub-feed": tub_feed_said,
    "tub-siphon": tub_siphon_said,
    "siphon-daily": siphon_daily_said,
    "fish-home": fish_home_said,
    "count": count_said,
    "count-between": count_between_said,
    "wait-decide": wait_decide_said,
}
