"""Level, water and mass: `dose`, `level`."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.strength import Strength
from tankward.quantities.working import Answer, Named, Working, answer

from ..dosing import dose_mg, level_mg_l, product_named
from .asks import (
    WATER,
    LevelOrLiquid,
    Liquid,
    StrengthOrNot,
    SubstanceOrNot,
    Volume,
    active_of_liquid,
    forms_named,
    judged_level,
    the,
)

LEFT_IN = ("water_long",)


@calculation("dose", unit="mg", formula="level × volume; ÷ strength for the product", group=WATER)
def dose(
    volume: Volume,
    level: LevelOrLiquid = None,
    strength: StrengthOrNot = None,
    substance: SubstanceOrNot = None,
    liquid: Liquid = None,
) -> Answer:
    """How much active makes this level in this water."""
    work = Working("it dissolves and mixes fully")
    one = the(substance)
    if liquid is not None:
        judged_level(work, one, liquid, LEFT_IN, "volume_level")
        value, product = active_of_liquid(work, liquid, volume, strength, one)
        return _said(value, work, (product,))
    if level is None:
        raise BadInput("level", "", "is missing. Write level=2 mg/L.")
    judged_level(work, one, level, LEFT_IN)
    value = work.step(
        "active", "level × volume", dose_mg(level, volume), "mg", inputs={"level": level, "volume": volume}
    )
    return _said(value, work, (*products(work, value, strength), *forms_named(one, value)))


def products(work: Working, active: float, strength: Strength | None) -> tuple[Named, ...]:
    """The amount of product, where its strength is known."""
    if strength is None:
        return ()
    amount = strength.product(active)
    work.step("product", "active ÷ strength", amount, strength.unit, inputs={"strength": strength.text})
    return (product_named("of the product", active, strength),)


def _said(value: float, work: Working, also: tuple[Named, ...]) -> Answer:
    product = next((n.shown for n in also if n.name.startswith("of the")), "")
    says = (
        "Add {product}: it holds {shown} of active." if product else "Add {shown} of the active ingredient."
    )
    return answer(value, "mg", work, also=also, says=says, product=product)


@calculation("level", unit="mg/L", formula="amount × strength ÷ volume", group=WATER)
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
        If the amount is not above nothing, or counts something that the strength does not speak of.
    """
    value, unit = amount
    if value <= 0:
        raise BadInput("amount", f"{value:g} {unit}", "can't be right: it must be more than nothing.")
    if strength is None:
        if unit != "mg":
            accepted = "is missing: how much active is in it? Write 200 mg per sachet or 5 mg/mL."
            raise BadInput("strength", "", accepted)
        return work.step("active", "taken as pure", value, "mg")
    if unit != strength.unit:
        accepted = f'does not go with the strength "{strength.text}". Write both per the same unit.'
        raise BadInput("amount", f"{value:g} {unit}", accepted)
    return work.step(
        "active", "amount × strength", value * strength.active_mg, "mg", inputs={"strength": strength.text}
    )
