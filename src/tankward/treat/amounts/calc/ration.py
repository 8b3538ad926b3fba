"""How much of a food a day, dry or wet: `ration`."""

from __future__ import annotations

from typing import Annotated

import msgspec

from tankward.knowledge.loader import load
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.working import Answer, Named, Working, answer

from ..food import appetite, food_as_fed
from .asks import FOOD

DRY_FEED = "flake"

Biomass = Annotated[float, Ask("mass", "all the fish that eat, together", above=0)]
Moisture = Annotated[
    float | None,
    Ask("share", "water in this food, 75% for a gel; left out: dry food", at_least=0, at_most=0.98),
]
Ration = Annotated[
    float, Ask("share", "food eaten a day as share of their weight, dry food", above=0, at_most=1)
]


class DryFood(msgspec.Struct, frozen=True):
    """Moisture of dry food, from the facts."""

    moisture: float
    source: str
    status: str


def dry_food() -> DryFood:
    """The middle of what flakes hold."""
    feed = load().feeds[DRY_FEED]
    return DryFood((feed.moisture_low + feed.moisture_high) / 200.0, feed.source, feed.status)


@calculation(
    "ration",
    unit="g",
    formula="biomass × share × 2^((temp − 26) ÷ 10) × (1 − dry moisture) ÷ (1 − moisture)",
    group=FOOD,
)
def ration(
    biomass: Biomass,
    share: Ration,
    temp: Annotated[
        float | None,
        Ask("temperature", "warmth of the water, if the share is meant for 26C", at_least=5, at_most=35),
    ] = None,
    moisture: Moisture = None,
) -> Answer:
    """How much of this food a day."""
    work = Working("the share is meant as dry food; a wet food is given for the same dry matter")
    dry = work.step("dry food", "biomass × share", biomass / 1000 * share, "g", inputs={"share": share})
    if temp is not None:
        dry = _at(work, dry, temp)
    plain = dry_food()
    wet = _wet(work, dry, plain, moisture)
    also = (
        Named.of("as dry food", dry, "g"),
        Named.of("dry matter", dry * (1 - plain.moisture), "g"),
    )
    return answer(wet, "g", work, also=also, says="{shown} of this food a day.")


AT_C = 26.0  # feeding_rate rows of the facts are for 26 °C
Q10 = 2.0  # feeding_rate_rule "temperature" [computed from the metabolic rows]


def _at(work: Working, dry: float, temp: float) -> float:
    factor = work.step("appetite", "2^((temp − 26) ÷ 10)", appetite(temp, AT_C, Q10), inputs={"temp": temp})
    work.caution("Only inside the warmth the species lives in: at its edges they stop eating.")
    return work.step("dry food at that warmth", "dry food × appetite", dry * factor, "g")


def _wet(work: Working, dry: float, plain: DryFood, moisture: float | None) -> float:
    if moisture is None:
        return dry
    return work.step(
        "of this food",
        "dry food × (1 − dry moisture) ÷ (1 − moisture)",
        food_as_fed(dry, plain.moisture, moisture),
        "g",
        inputs={"dry moisture": plain.moisture, "moisture": moisture},
        source=plain.source,
        status=plain.status,
    )
