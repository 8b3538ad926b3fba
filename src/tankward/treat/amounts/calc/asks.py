"""Inputs that several calculations share, and how a level is held against what is published."""

from __future__ import annotations

from typing import Annotated

from tankward.knowledge.loader import load
from tankward.knowledge.records.substance import Substance
from tankward.quantities.calculation import Ask
from tankward.quantities.digits import shown
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.strength import Strength
from tankward.quantities.working import Named, Working

from ..dosing import dose_mg
from ..formalin import MG_FORMALDEHYDE_PER_UL, oxygen_taken_mg_l, product_ml
from ..published import Published, beyond, ceiling_of, published, refuse_if_beyond, substance_called

WATER = "amounts in water"
FOOD = "medicine in food"
TOOLS = "measuring and cleaning"
FORMALIN = "formalin"

Volume = Annotated[float, Ask("volume", "the water it goes into, without gravel and wood", above=0)]
StrengthOrNot = Annotated[
    Strength | None, Ask("strength", "active in one unit of the product, from its label")
]
SubstanceOrNot = Annotated[str | None, Ask("text", "which substance: its published levels are looked up")]
LevelOrLiquid = Annotated[
    float | None,
    Ask("level", "how strong the water is to be", above=0, or_as=("volume_level", "liquid")),
]
Liquid = Annotated[
    float | None, Ask("volume_level", "or, for a liquid counted by volume, so much of it per litre", above=0)
]


def the(substance: str | None) -> Substance | None:
    """The substance of that name; None if none was named."""
    return None if not substance else substance_called(substance, load())


def judged_level(
    work: Working, one: Substance | None, level: float, routes: tuple[str, ...], dimension: str = "level"
) -> None:
    """Hold a level against our ceiling and the published span of these routes.

    Raises
    ------
    Refused
        Above the ceiling, or over three times the highest published level.
    """
    if one is None:
        return
    if one.never_with_animals:
        raise Refused(_never(one))
    if dimension == "level" and one.id == FORMALIN:
        raise BadInput(
            "level",
            f"{level:g} mg/L",
            "leaves it open: mg of formaldehyde, or of the solution? Formalin is counted in uL of the 37 % "
            "solution: write 15 uL/L.",
        )
    who_may(work, one)
    work.assume(f"the level is counted as the published ones are: {one.dose_as}")
    if dimension == "level":
        _hold_ceiling(work, one, level)
    span = published(one, routes, dimension)
    if span is None:
        work.caution("No recommended level of it for this use is known here: the amount is arithmetic only.")
        return
    work.step(
        "published, highest",
        "from the facts",
        span.high,
        span.unit,
        source=span.source,
        status=span.status,
    )
    refuse_if_beyond(level, span.unit, span)
    _say_where(work, level, span)


def who_may(work: Working, one: Substance) -> None:
    """Stop at what nobody should use; say where a veterinarian has to order it.

    Raises
    ------
    Refused
        For a hazard.
    """
    if one.use == "hazard":
        raise Refused(
            Reason(
                kind="hazard",
                because=f"{one.names[0].capitalize()} is never proposed. {one.human.hazard}",
                would_change="Another substance: see tankward options.",
                source=one.human.source,
                status=one.human.status,
            )
        )
    if one.use == "vet":
        work.caution(f"{one.names[0].capitalize()} is used only on a veterinarian's order.")
    if one.use == "historic":
        work.caution(f"{one.names[0].capitalize()} is known from old records only and is not proposed.")


def _never(one: Substance) -> Reason:
    return Reason(
        kind="never-with-animals",
        because=f"{one.names[0].capitalize()} never goes into water with animals.",
        would_change="Only for empty tanks and tools.",
    )


def _hold_ceiling(work: Working, one: Substance, level: float) -> None:
    top = ceiling_of(one)
    if top is None:
        return
    if level > top.refuse_above:
        limit = shown(top.refuse_above, "mg/L")
        because = (
            f"{shown(level, 'mg/L')} is above our limit of {limit} for {one.names[0]}. {_seen_in_gut(one)}"
        )
        raise Refused(
            Reason(
                kind="ceiling",
                because=because,
                would_change=f"A level of {shown(top.warn_above, 'mg/L')} or less, or the food route.",
                source=top.source,
                status=top.status,
            )
        )
    if level > top.warn_above:
        work.caution(f"Above {shown(top.warn_above, 'mg/L')} we warn. {_seen_in_gut(one)}")


def _seen_in_gut(one: Substance) -> str:
    return next((f"{e.text}." for e in one.effect if e.on == "gut"), "")


def _say_where(work: Working, level: float, span: Published) -> None:
    where = beyond(level, span)
    if where == "above":
        work.caution(f"Above what is published for it ({span.shown}).")
    if where == "below":
        work.caution(f"Below what is published for it ({span.shown}): it may not work at all.")
    if span.status == "memory":
        work.caution("Part of the published span is recalled, not read: take it as unsure.")


def forms_named(one: Substance | None, active_mg: float) -> tuple[Named, ...]:
    """The same dose as each salt of it, for a level that means the base; copper is counted as its salt."""
    if one is None:
        return ()
    salts = [f for f in one.form if f.active_formula == one.formula]
    name = "as {}, if the level means the base"
    return tuple(Named.of(name.format(f.name), active_mg / f.active_fraction, "mg") for f in salts)


def active_of_liquid(
    work: Working, liquid_ul_l: float, volume_l: float, strength: Strength | None, one: Substance | None
) -> tuple[float, Named]:
    """Active and product of a dose counted by volume. [mg], [mL]"""
    ml = product_ml(liquid_ul_l, volume_l)
    work.step("liquid", "µL/L × volume ÷ 1000", ml, "mL", inputs={"liquid": liquid_ul_l, "volume": volume_l})
    product = Named.of("of the liquid", ml, "mL")
    if one is not None and one.id == FORMALIN:
        return _formaldehyde(work, liquid_ul_l, volume_l), product
    if strength is None or strength.unit != "L":
        accepted = "is missing: how much active is in a mL? Write 5 mg/mL, or name substance=formalin."
        raise BadInput("strength", "" if strength is None else strength.text, accepted)
    return work.step("active", "mL × strength", ml / 1000 * strength.active_mg, "mg"), product


def _formaldehyde(work: Working, liquid_ul_l: float, volume_l: float) -> float:
    oxygen = work.step(
        "oxygen it can take",
        "µL/L ÷ 5",
        oxygen_taken_mg_l(liquid_ul_l),
        "mg/L",
        source="FHM",
        status="published-read",
    )
    work.caution(
        f"Formalin can take {shown(oxygen, 'mg/L')} of oxygen from the water: strong air throughout."
    )
    return work.step(
        "formaldehyde",
        "µL/L × 0.37 × volume",
        dose_mg(liquid_ul_l * MG_FORMALDEHYDE_PER_UL, volume_l),
        "mg",
        source="FORMLBL",
        status="published-read",
    )
