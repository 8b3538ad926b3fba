"""Copper by the alkalinity, and when it is refused."""

from __future__ import annotations

from typing import Annotated

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import Reason, Refused
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.room.spoken import animals_said
from tankward.water.atoms import mass_share, molar_mass
from tankward.water.copper import (
    COPPER_SHARE,
    LEAST_ALKALINITY,
    MOST_MG_L,
    PENTAHYDRATE,
    copper_in_pentahydrate,
    sulfate_by_alkalinity_mg_l,
)

FORMS = {
    "pentahydrate": PENTAHYDRATE,
    "monohydrate": "CuSO4.H2O",
    "anhydrous": "CuSO4",
}
SYNONYMS = {f"copper sulfate {form}": form for form in FORMS} | {"copper sulfate": "pentahydrate"}
UNBEARABLE = ("shrimp", "snail", "crayfish")


@calculation(
    "copper",
    unit="mg/L",
    formula="alkalinity / 100 as copper sulfate pentahydrate, at most 2.5",
    source="FA13",
    group="amounts in water",
)
def copper(
    alkalinity: Annotated[
        float, Ask("hardness", "alkalinity (KH), measured today", at_least=0, at_most=1000)
    ],
    volume: Annotated[float, Ask("volume", "the water", above=0)],
    form: Annotated[
        str, Ask("text", "the salt at hand", choices=tuple(FORMS), synonyms=SYNONYMS)
    ] = "pentahydrate",
    animals: Annotated[str, Ask("text", "who lives there, like 12 guppies; 30 cherry_shrimp")] = "",
) -> Answer:
    """How much copper sulfate the alkalinity of the water allows."""
    refuse(alkalinity, animals, load())
    work = Working("no shrimp, snails or crayfish in it; copper is measured with a test every day")
    level = work.step(
        "copper sulfate pentahydrate",
        f"alkalinity / 100, at most {MOST_MG_L:g}",
        float(sulfate_by_alkalinity_mg_l(alkalinity)),
        "mg/L",
        inputs={"alkalinity": alkalinity},
        source="FA13",
        status="published-read",
    )
    as_cu = work.step(
        "that is copper", f"× {COPPER_SHARE:.4f}", float(copper_in_pentahydrate(level)),
        "mg/L as Cu", source="IUPAC21",
    )  # fmt: skip
    mass = work.step(
        f"{form} for this water",
        "copper × volume ÷ share of copper in the salt",
        as_cu * volume / mass_share("Cu", FORMS[form]),
        "mg",
        inputs={"volume": volume, "molar mass": molar_mass(FORMS[form])},
        source="IUPAC21",
    )
    work.caution("Shrimp, snails and crayfish die of it, and plants and the filter suffer.")
    work.caution("Copper sticks to gravel and lime: only a copper test tells what is in the water.")
    also = (Named.of("as Cu", as_cu, "mg/L as Cu"), Named.of(f"copper sulfate, {form}", mass, "mg"))
    says = "{shown} of copper sulfate pentahydrate is the most this water allows ({cu:.2g} mg/L as Cu)."
    return answer(level, "mg/L", work, also=also, says=says, cu=as_cu)


def refuse(alkalinity: float, animals: str, facts: Facts) -> None:
    """Stop where copper kills.

    Raises
    ------
    Refused
        In soft water, or with shrimp, snails or crayfish.
    """
    reasons = [*_soft(alkalinity), *(_harmed(animals, facts) if animals.strip() else ())]
    if reasons:
        raise Refused(*reasons)


def _soft(alkalinity: float) -> list[Reason]:
    if alkalinity >= LEAST_ALKALINITY:
        return []
    return [
        Reason(
            kind="soft_water",
            because=f"Alkalinity {alkalinity:.3g} mg/L CaCO3: below 50 copper kills at any level that works.",
            would_change="Another remedy; or harder water, raised over days and measured.",
            source="FA13",
            status="published-read",
        )
    ]


def _harmed(animals: str, facts: Facts) -> list[Reason]:
    who = [s for s in animals_said(animals, facts) if facts.animals[s.kind].kind in UNBEARABLE]
    rows = [facts.sensitivity(facts.animals[s.kind].group, "copper") for s in who]
    return [
        Reason(
            kind="not_borne",
            because=f"Copper kills {(stock.name or stock.kind).replace('_', ' ')}.",
            would_change="Move them to water that never had copper, or choose another remedy.",
            who=(stock.kind,),
            source=row.source,
            status=row.status,
        )
        for stock, row in zip(who, rows, strict=True)
    ]
