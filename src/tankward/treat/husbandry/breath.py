"""What the animals breathe."""

from __future__ import annotations

from typing import Annotated

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.spoken import EXAMPLE, animals_said
from tankward.room.things import Stock
from tankward.room.weight import adult_length, stock_g
from tankward.water.animals import BUDGET, resting_oxygen_mg_h

BETWEEN_SPECIES = 2.0  # CLARKE99: one species against the curve of all


class Breath(msgspec.Struct, frozen=True, kw_only=True):
    """What one group breathes in mg O2 an hour, resting."""

    name: str
    grams: Estimate
    resting_mg_h: float


@calculation(
    "oxygen-use",
    unit="mg O2/h",
    formula="1.5 × 32.0 × exp(15.7 − 5020 / T) × (mass / 50)^0.79 for each, summed",
    source="CLARKE99",
    group="oxygen and carbon dioxide",
)
def oxygen_use(
    animals: Annotated[str, Ask("text", f"who lives there, like {EXAMPLE}")],
    temp: Annotated[float, Ask("temperature", "warmth of the water")],
) -> Answer:
    """How much oxygen the animals use in an hour."""
    facts = load()
    work = Working("a calm tank of fed animals takes one and a half times what they breathe at rest")
    groups = [_breath(work, stock, temp, facts) for stock in animals_said(animals, facts)]
    resting = work.step("all at rest", "sum", sum(g.resting_mg_h for g in groups), "mg O2/h")
    _, calm, peak = BUDGET
    value = work.step("calm and fed", "× 1.5", resting * calm, "mg O2/h", source="CLARKE99 LUCAS92")
    work.caution("Chased, netted or just fed they take up to three times what they breathe at rest.")
    return answer(
        value,
        "mg O2/h",
        work,
        low=resting / BETWEEN_SPECIES,
        high=resting * peak,
        also=(
            Named.of("all at rest", resting, "mg O2/h", resting / BETWEEN_SPECIES, resting * BETWEEN_SPECIES),
            *(Named.of(g.name, g.resting_mg_h * calm, "mg O2/h") for g in groups),
        ),
        says="They use about {shown} ({range}).",
    )


def _breath(work: Working, stock: Stock, temp: float, facts: Facts) -> Breath:
    sized = _with_length(work, stock, facts)
    grams = stock_g(sized, facts)
    if grams is None:
        raise BadInput("animals", stock.name, "has no length. Write it behind the name, like 3.5cm.")
    one_g = grams.value / sized.number.value
    resting = work.step(
        f"{sized.number.value:g} {stock.name} at rest",
        "number × 32.0 × exp(15.7 − 5020 / T) × (mass / 50)^0.79",
        sized.number.value * float(resting_oxygen_mg_h(one_g, temp)),
        "mg O2/h",
        inputs={"mass of one": one_g, "temp": temp},
        source="CLARKE99",
        status="published-read",
    )
    if facts.animals[stock.kind].kind != "fish":
        work.caution("The curve is one of fish: for shrimp, snails and frogs it is only a rough guide.")
    return Breath(name=stock.name, grams=grams, resting_mg_h=resting)


def _with_length(work: Working, stock: Stock, facts: Facts) -> Stock:
    if stock.length_cm is not None:
        return stock
    adult = adult_length(facts.animals[stock.kind])
    if adult is None or stock.stage != "adult":
        return stock
    work.assume(f"{stock.name} full grown, {adult.value:g} cm")
    return msgspec.structs.replace(stock, length_cm=adult)
