"""A medicated food against what was published, and against those who meet what leaches from it. Rule 10."""

from __future__ import annotations

from collections.abc import Mapping

from tankward.judge.ceilings import ceiling
from tankward.judge.limit import Limit
from tankward.judge.limits import limits
from tankward.judge.verdicts import Verdict, judge_levels, refused
from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason
from tankward.treat.amounts.eaters import Eaters
from tankward.treat.amounts.food import MedicatedFood
from tankward.treat.amounts.published import published, refuse_if_beyond

from .asked import Asked
from .choice import refuse
from .dates import DAY_H

NOT_EATING = ("no_appetite",)


def refuse_beyond(strengths: Mapping[str, float], lead: str, made: MedicatedFood, facts: Facts) -> None:
    """Over three times the published dose is refused, at a good appetite too; every active counts.

    Raises
    ------
    Refused
        Naming the published span.
    """
    for active, strength in strengths.items():
        span = published(facts.substances[active], ("feed",), "fish_dose")
        share = strength / strengths[lead]
        if span is not None:
            refuse_if_beyond(made.dose_likely * share, "mg/kg/day", span)
            refuse_if_beyond(made.dose_high * share, "mg/kg/day", span)


def leached(
    asked: Asked, strengths: Mapping[str, float], made: MedicatedFood
) -> tuple[tuple[Limit, ...], tuple[Verdict, ...], tuple[Reason, ...]]:
    """Everybody against a day's food wholly leached into the water: the worst that it can do.

    Raises
    ------
    Refused
        Where even that harms somebody, or passes a ceiling.
    """
    if made.level_if_leached_mg_l is None:
        return (), (), ()
    s, lead = asked.chosen.situation, asked.chosen.one.id
    made_of: list[Limit] = []
    bears: list[Verdict] = []
    warned: list[Reason] = []
    for active, strength in strengths.items():
        level = made.level_if_leached_mg_l * strength / strengths[lead] + s.still_in.get(active, 0.0)
        rows = limits(active, s.stock, asked.facts, hours=DAY_H, not_there=s.not_there, trials=s.trials)
        made_of += rows
        bears += judge_levels(rows, {active: (level, level, level)}, DAY_H, asked.facts)
        warned += _ceiling(active, level, asked.facts)
    refuse(refused(bears))
    return tuple(made_of), tuple(bears), tuple(warned)


def _ceiling(active: str, level: float, facts: Facts) -> tuple[Reason, ...]:
    found = ceiling(active, level, facts)
    if found.says == "refuse" and found.reason is not None:
        refuse((found.reason,))
    return (found.reason,) if found.says == "warn" and found.reason is not None else ()


def cautions(asked: Asked, who: Eaters) -> tuple[Reason, ...]:
    """What is always said of a food (rule 10)."""
    found = [EATS, *([] if who.weighed else [WEIGH])]
    if who.grown:
        found.append(
            Reason(
                kind="length-of-the-kind",
                because=f"No length is known of {' and '.join(who.grown)}: as long as their kind grows.",
                would_change="say how long they are, or weigh a netful",
                who=who.grown,
            )
        )
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
