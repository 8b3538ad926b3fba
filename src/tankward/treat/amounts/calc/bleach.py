"""Bleach for empty tanks and tools: `bleach`."""

from __future__ import annotations

from typing import Annotated

from tankward.knowledge.loader import load
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Named, Working, answer

from ..bleach import bleach_ml, thiosulfate_mg
from ..dosing import dose_mg
from ..net_bath import WORM_EGGS, chlorine_binding, net_plan
from .asks import TOOLS


@calculation("bleach", unit="mL", formula="volume × target ÷ strength", source="DECHLLAB", group=TOOLS)
def bleach(
    strength: Annotated[
        float, Ask("concentration", "chlorine in the bottle, like 5%", above=0, at_most=150_000)
    ],
    target: Annotated[float, Ask("level", "chlorine in the water, like 200 mg/L", above=0)],
    volume: Annotated[float, Ask("volume", "the water of the bath, or of the empty tank", above=0)],
) -> Answer:
    """How much bleach cleans an empty tank or tools, and the thiosulfate that ends it."""
    if target > strength:
        raise BadInput("target", f"{target:g} mg/L", "is stronger than the bottle.")
    work = Working("the bottle is as strong as it says; bleach weakens by months")
    value = work.step(
        "bleach",
        "volume × target ÷ strength",
        bleach_ml(strength, target, volume),
        "mL",
        inputs={"strength": strength},
    )
    chlorine = work.step("chlorine", "volume × target", dose_mg(target, volume), "mg")
    factor, source, status = chlorine_binding(load())
    after = work.step(
        "thiosulfate after",
        f"chlorine × {factor:g}",
        thiosulfate_mg(chlorine, factor),
        "mg",
        source=source,
        status=status,
    )
    _cautions(work, target)
    named = Named.of("thiosulfate pentahydrate after", after, "mg")
    says = "{shown} of bleach; after it, {after} of thiosulfate pentahydrate."
    return answer(value, "mL", work, also=(named,), says=says, after=named.shown)


def _cautions(work: Working, target: float) -> None:
    work.caution("Never with animals in the water; never with acid, ammonia, formalin, peroxide or alcohol.")
    work.caution("Wash the dirt off first. Gloves, window open. After: rinse, thiosulfate 5 min, rinse, dry.")
    eggs = net_plan(WORM_EGGS, load(), 1.0).baths[-1]
    if target < eggs.low:
        work.caution(
            f"Weaker than {eggs.low:g} mg/L chlorine made worm eggs develop more, not less: "
            "against worms take hot water or that."
        )
