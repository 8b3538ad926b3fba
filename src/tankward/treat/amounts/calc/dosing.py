"""Level, water and mass: `dose`, `level`."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.strength import Strength
from tankward.quantities.working import Answer, Named, Working, answer

from ..dosing import dose_mg, level_mg_l, product_named

GROUP = "amounts in water"
Volume = Annotated[float, Ask("volume", "the water it goes into, without gravel and wood", above=0)]
StrengthOrNot = Annotated[
    Strength | None, Ask("strength", "active in one unit of the product, from its label")
]


@calculation("dose", unit="mg", formula="level × volume; ÷ strength for the product", group=GROUP)
def dose(
    level: Annotated[float, Ask("level", "how strong the water is to be", above=0)],
    volume: Volume,
    strength: StrengthOrNot = None,
) -> Answer:
    """How much active makes this level in this water."""
    work = Working("it dissolves and mixes fully")
    value = work.step(
        "active", "level × volume", dose_mg(level, volume), "mg", inputs={"level": level, "volume": volume}
    )
    if strength is None:
        return answer(value, "mg", work, says="Add {shown} of the active ingredient.")
    product = product_named("of the product", value, strength)
    work.step(
        "product",
        "active ÷ strength",
        strength.product(value),
        strength.unit,
        inputs={"strength": strength.text},
    )
    return answer(
        value,
        "mg",
        work,
        also=(product,),
        says="Add {product} of the product: it holds {shown} of active.",
        product=product.shown,
    )


@calculation("level", unit="mg/L", formula="amount × strength ÷ volume", group=GROUP)
def level(
    amount: Annotated[tuple[float, str], Ask("amount", "what goes in: 300 mg, 5 mL, 1 sachet")],
    volume: Volume,
    strength: StrengthOrNot = None,
) -> Answer:
    """How strong this amount makes this water."""
    work = Working("it dissolves and mixes fully")
    active = active_mg(work, amount, strength)
    value = work.step(
        "level", "active ÷ volume", level_mg_l(active, volume), "mg/L", inputs={"volume": volume}
    )
    return answer(value, "mg/L", work, also=(Named.of("active", active, "mg"),), says="That makes {shown}.")


def active_mg(work: Working, amount: tuple[float, str], strength: Strength | None) -> float:
    """Active in an amount of product; a bare mass is the active itself.

    Raises
    ------
    BadInput
        If the amount counts something that the strength does not speak of.
    """
    value, unit = amount
    if strength is None:
        if unit != "mg":
            raise BadInput(
                "strength", "", "is missing: how much active is in it? Write 200 mg per sachet or 5 mg/mL."
            )
        return work.step("active", "taken as pure", value, "mg")
    if unit != strength.unit:
        raise BadInput(
            "amount",
            f"{value:g} {unit}",
            f'does not go with the strength "{strength.text}". Write both per the same unit.',
        )
    return work.step(
        "active", "amount × strength", value * strength.active_mg, "mg", inputs={"strength": strength.text}
    )
