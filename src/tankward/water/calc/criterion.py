"""What a river may hold of ammonia."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.working import Answer, Named, Working, answer

from ..ammonia import acute_criterion, chronic_criterion

LOWEST_PH, WARMEST_C = 6.5, 30.0
ACUTE_SLOPE, CHRONIC_SLOPE = 0.036, 0.028  # for each degree: OAR30


@calculation(
    "ammonia-criterion",
    unit="mg/L as N",
    formula="EPA 2013: the least of what pH and warmth allow, set by mussels and trout",
    source="OAR30",
    group="ammonia and filter",
)
def criterion(
    ph: Annotated[float, Ask("ph", "pH of the water", at_least=0, at_most=9)],
    temp: Annotated[float, Ask("temperature", "warmth of the water", at_least=0, at_most=35)],
    salmonids: Annotated[str, Ask("text", "trout or salmon in it", choices=("yes", "no"))] = "no",
) -> Answer:
    """How much total ammonia a river may hold, as an alarm level."""
    work = Working("total ammonia, counted as N")
    at_ph, at_temp = _inside(work, ph, temp)
    warmer = 10.0 ** (ACUTE_SLOPE * (at_temp - temp)), 10.0 ** (CHRONIC_SLOPE * (at_temp - temp))
    inputs: dict[str, float | str] = {"pH": at_ph, "temp": temp, "salmonids": salmonids}
    acute = work.step(
        "an hour's mean may reach",
        "acute criterion",
        float(acute_criterion(at_ph, at_temp, salmonids == "yes")) * warmer[0],
        "mg/L as N",
        inputs=inputs,
        source="OAR30",
        status="published-read",
    )
    chronic = work.step(
        "a month's mean may reach",
        "chronic criterion",
        float(chronic_criterion(at_ph, at_temp)) * warmer[1],
        "mg/L as N",
        inputs=inputs,
        source="OAR30",
        status="published-read",
    )
    work.caution(
        "It protects the most tender mussels and snails of rivers: an alarm level, not one that kills fish."
    )
    return answer(
        acute,
        "mg/L as N",
        work,
        also=(Named.of("a month's mean may reach", chronic, "mg/L as N"),),
        says="For an hour a river may hold {shown} of total ammonia; for a month {month:.2g} mg/L as N.",
        month=chronic,
    )


def _inside(work: Working, ph: float, temp: float) -> tuple[float, float]:
    """The nearest point of the published range; at low pH that is the stricter side."""
    if ph < LOWEST_PH:
        work.caution("The criteria begin at pH 6.5: below it the stricter figure of pH 6.5 is shown.")
    if temp > WARMEST_C:
        work.caution(
            "The criteria end at 30 °C: above it they are carried on by the same slope, unpublished."
        )
    return max(ph, LOWEST_PH), min(temp, WARMEST_C)
