"""What the animals weigh."""

from __future__ import annotations

from typing import Annotated

from tankward.knowledge.loader import load
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.weight import Curve, animal_called, curve_of, shape_curve

SHAPES = ("fusiform", "elongated", "short and deep", "eel-like", "shrimp", "crayfish", "snail", "frog")
USUAL_SHAPE = "fusiform"


@calculation(
    "biomass",
    unit="g",
    formula="number × a × length ^ b",
    source="FBT",
    group="animals",
)
def biomass(
    number: Annotated[float, Ask("number", "how many", above=0, at_most=100_000)],
    length: Annotated[
        float, Ask("length", "of one, from the snout to the tip of the tail", above=0, at_most=100)
    ],
    animal: Annotated[str, Ask("text", "which animal")] = "",
    shape: Annotated[str, Ask("text", "or its shape", choices=SHAPES)] = "",
) -> Answer:
    """What a group of animals weighs, from their length."""
    work = Working("length from the snout to the tip of the tail")
    curve = _curve(work, animal, shape)
    one = curve.grams(Estimate.exact(length))
    each = work.step(
        "one animal",
        f"{curve.a:g} × length ^ {curve.b:g}",
        one.value,
        "g",
        inputs={"length": length, "curve": curve.basis},
        source=curve.source,
        status=curve.status,
    )
    grams = work.step("all", "number × one", number * each, "g", inputs={"number": number})
    work.caution("A curve is right to a factor of two. Weigh a netful in a jar of tank water to know.")
    return answer(
        grams,
        "g",
        work,
        low=number * one.low,
        high=number * one.high,
        also=(Named.of("one animal", one.value, "g", one.low, one.high),),
        says="They weigh {shown} together ({range}).",
    )


def _curve(work: Working, animal: str, shape: str) -> Curve:
    facts = load()
    if animal and shape:
        raise BadInput("shape", shape, "and animal were both given. Write one of them.")
    if not animal and not shape:
        work.assume("a fish of the common, spindle shape")
    found = (
        curve_of(animal_called(animal, facts), facts) if animal else shape_curve(shape or USUAL_SHAPE, facts)
    )
    if found is None:
        raise BadInput("animal", animal or shape, "has no curve of length and weight here. Write its shape.")
    return found
