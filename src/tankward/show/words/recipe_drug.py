"""How the medicine of a recipe is taken: packets, out of a bottle, off the scale, through ground food."""

from __future__ import annotations

from tankward.quantities.digits import plain_number, shown, without_last_nought
from tankward.room.things import Kit
from tankward.treat.amounts.kitchen import LEAST_SCALE_G, Kitchen

from .measured import amount_of, counted
from .step_parts import Context

PER_KG = "mg/kg/day"
FOODS = {"gel": "gel food", "flakes": "flakes", "granules": "granules", "frozen": "frozen food with gelatine"}


def food_name(kind: str) -> str:
    """What the food is called."""
    return FOODS.get(kind, kind)


def scale_step(kit: Kit) -> float:
    """The step of the scale that the recipe is written for. [g]"""
    return kit.scale_g or LEAST_SCALE_G


def grams(value: float, c: Context) -> str:
    """Grams to the step of the keeper's scale."""
    return f"{without_last_nought(plain_number(value, scale_step(c.kit)))} g"


def millilitres(value: float) -> str:
    """Millilitres as a syringe or a jug has them."""
    return shown(value / 1000.0, "L")


def is_stock(plan: Kitchen) -> bool:
    """Whether the drug goes in out of a bottle of water."""
    return plan.measured is not None and plan.measured.batch is not None


def taken_words(c: Context) -> str:
    """What goes into the batch, in one phrase."""
    plan = c.course.recipe.kitchen if c.course.recipe else None
    if plan is None:
        return ""
    if plan.packets is not None:
        supply = c.shelf.get(c.course.supply)
        return counted(plan.packets, supply.unit if supply else "packet")
    if plan.measured is not None and plan.measured.batch is not None:
        b = plan.measured.batch
        thinned = "the last bottle" if b.steps else f"a bottle of {grams(b.take / 1000.0, c)} {c.of}"
        return f"{millilitres(b.portion_ml)} out of {thinned} in {millilitres(b.into_ml)} of water"
    if plan.measured is not None:
        return f"{amount_of(plan.measured).short} of {c.of}"
    n = len(plan.mixes)
    return f"{grams(plan.mix_g or 0.0, c)} of mix {n}, 1 part of {c.of} in {10**n} of ground food,"


def drug_off(plan: Kitchen) -> str:
    """How far scale and syringe may put it out."""
    return f"Scale and syringe alone may put the medicine out by {shown(100 * plan.off, '%')}."
