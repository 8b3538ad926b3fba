"""Ammonia from food."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Named, Working, answer

from ..ammonia import unionised_share
from ..nitrogen import TAN_PER_PROTEIN, TAN_PER_PROTEIN_RANGE, ammonia_from_food

NH3_TO_ACT_AT = 0.02  # mg/L as N: the level from which nothing is dosed [common practice, no source]


@calculation(
    "ammonia-made",
    unit="mg N a day",
    formula="food × protein × 0.092",
    source="TIMMONS",
    group="ammonia and filter",
)
def ammonia_made(
    food: Annotated[float, Ask("mass", "food given a day", at_least=0)],
    protein: Annotated[float, Ask("share", "protein in it, from the packet")],
    volume: Annotated[float, Ask("volume", "the water", above=0)],
    days: Annotated[float | None, Ask("time", "how long, without a filter", at_least=0)] = None,
    ph: Annotated[float | None, Ask("ph", "pH of the water", at_least=0, at_most=14)] = None,
    temp: Annotated[float | None, Ask("temperature", "warmth of the water")] = None,
) -> Answer:
    """How much ammonia the food of a day turns into."""
    work = Working("all of it is eaten; no filter takes ammonia away")
    made = work.step(
        "ammonia made",
        f"food × protein × {TAN_PER_PROTEIN}",
        float(ammonia_from_food(food, protein)),
        "mg N a day",
        inputs={"food": food, "protein": protein},
        source="TIMMONS",
        status="memory",
    )
    daily = work.step(
        "in this water", "made ÷ volume", made / volume, "mg/L a day", inputs={"volume": volume}
    )
    also = [Named.of("rise of total ammonia", daily, "mg/L as N a day")]
    if days is not None:
        also.append(Named.of(f"total ammonia after {days / 24:g} days", daily * days / 24, "mg/L as N"))
    if ph is not None and temp is not None:
        also.append(_days_to_harm(work, daily, ph, temp))
    elif ph is not None or temp is not None:
        raise BadInput(
            "temp" if temp is None else "ph", "", "is missing: the poisonous part hangs on pH and warmth."
        )
    work.caution("What is left uneaten rots and makes nearly twice as much.")
    low, high = (made * k / TAN_PER_PROTEIN for k in TAN_PER_PROTEIN_RANGE)
    return answer(
        made,
        "mg N a day",
        work,
        low=low,
        high=high,
        also=tuple(also),
        says="It makes {shown} ({range}): {daily:.2g} mg/L a day if no filter works.",
        daily=daily,
    )


def _days_to_harm(work: Working, daily_mg_l: float, ph: float, temp: float) -> Named:
    share = work.step(
        "poisonous share",
        "1 / (1 + 10^(pKa − pH))",
        float(unionised_share(ph, temp)),
        inputs={"pH": ph, "temp": temp},
        source="EMERSON75",
        status="published-read",
    )
    if not daily_mg_l:
        return Named(name="days to 0.02 mg/L of the poisonous part", value=None, unit="days", shown="never")
    days = work.step(
        "days to 0.02 mg/L of the poisonous part",
        "0.02 ÷ (rise × share)",
        NH3_TO_ACT_AT / (daily_mg_l * share),
        "days",
        status="common-practice",
    )
    return Named.of("days to 0.02 mg/L of the poisonous part", days, "days")
