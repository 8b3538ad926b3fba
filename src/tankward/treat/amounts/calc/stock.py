"""Bottles: `stock-solution`, `dilute`."""

from __future__ import annotations

from typing import Annotated

from tankward.knowledge.records.substance import Substance
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.working import Answer, Named, Working, answer

from ..dosing import dose_mg
from ..published import solubility_g_l
from ..stock import concentrate_ml, fits_in, least_water_ml, stock_mg
from .asks import TOOLS, StrengthOrNot, SubstanceOrNot, Volume, judged_level, the
from .dosing import LEFT_IN, products

ML_PER_L = 1000.0


@calculation("stock-solution", unit="mg", formula="level × volume × bottle ÷ portion", group=TOOLS)
def stock_solution(
    level: Annotated[float, Ask("level", "how strong one portion makes the water", above=0)],
    volume: Volume,
    portion: Annotated[float, Ask("volume", "one portion of the bottle, like 10 mL", above=0)],
    bottle: Annotated[float, Ask("volume", "water in the bottle, like 500 mL", above=0)],
    strength: StrengthOrNot = None,
    substance: SubstanceOrNot = None,
) -> Answer:
    """What goes into a bottle so that one portion is one dose."""
    if portion > bottle:
        raise BadInput("portion", shown(portion, "L"), f"is more than the bottle of {shown(bottle, 'L')}.")
    work = Working("it dissolves fully and is shaken before each use")
    one = the(substance)
    judged_level(work, one, level, LEFT_IN)
    dose = work.step("one dose", "level × volume", dose_mg(level, volume), "mg")
    value = stock_mg(dose, portion * ML_PER_L, bottle * ML_PER_L)
    work.step(
        "into the bottle",
        "dose × bottle ÷ portion",
        value,
        "mg",
        inputs={"bottle": bottle, "portion": portion},
    )
    _refuse_undissolved(work, one, value, bottle * ML_PER_L)
    in_bottle = Named.of("strength of the bottle", value / bottle, "mg/L")
    doses = Named.of("doses in the bottle", bottle / portion, "")
    return answer(
        value,
        "mg",
        work,
        also=(*products(work, value, strength), in_bottle, doses),
        says="Put {shown} of active into the bottle; {portion} of it is one dose.",
        portion=shown(portion, "L"),
    )


def _refuse_undissolved(work: Working, one: Substance | None, mg: float, water_ml: float) -> None:
    """Stop where it can't all dissolve: what lies on the bottom is poured out as one great dose."""
    most, source, status = (None, "none", "memory") if one is None else solubility_g_l(one)
    if most is None:
        work.caution("Whether so much dissolves is not known here: if a grain is left, add water.")
        return
    work.step("dissolves at most", "from the facts", most, "g/L", source=source, status=status)
    if not fits_in(mg, water_ml, most):
        raise Refused(
            Reason(
                kind="solubility",
                because=f"{shown(mg, 'mg')} does not dissolve in {shown(water_ml / ML_PER_L, 'L')} of water: "
                f"at most {shown(most, 'g/L')} does. What lies undissolved is poured out as one great dose.",
                would_change=f"A bottle of {shown(least_water_ml(mg, most) / ML_PER_L, 'L')} or more, "
                "or a larger portion.",
                source=source,
                status=status,
            )
        )


@calculation("dilute", unit="mL", formula="make × target ÷ strength", group=TOOLS)
def dilute(
    strength: Annotated[float, Ask("concentration", "how strong the concentrate is", above=0)],
    target: Annotated[float, Ask("concentration", "how strong it is to become", above=0)],
    make: Annotated[float, Ask("volume", "how much to make", above=0)],
) -> Answer:
    """How much concentrate and how much water make a weaker solution."""
    if target > strength:
        raise BadInput(
            "target", shown(target, "mg/L"), f"is stronger than the concentrate ({shown(strength, 'mg/L')})."
        )
    work = Working("volumes add up; per cent is weight in volume")
    value = work.step(
        "concentrate",
        "make × target ÷ strength",
        concentrate_ml(strength, target, make * ML_PER_L),
        "mL",
        inputs={"make": make, "target": target, "strength": strength},
    )
    water = work.step("water", "make − concentrate", make * ML_PER_L - value, "mL")
    return answer(
        value,
        "mL",
        work,
        also=(Named.of("water", water, "mL"),),
        says="{shown} of concentrate and {water} of water.",
        water=shown(water, "mL"),
    )
