"""Chlorine in tap water."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import Reason, Refused
from tankward.quantities.working import Answer, Named, Working, answer

from ..chlorine import PER_CHLORINE, ammonia_n_from_chloramine, dechlorination_mg

THIOSULFATE = "sodium_thiosulfate_pentahydrate"
SYNONYMS = {
    "sodium thiosulfate": THIOSULFATE,
    "thiosulfate": THIOSULFATE,
    "thiosulfate pentahydrate": THIOSULFATE,
    "anhydrous thiosulfate": "sodium_thiosulfate_anhydrous",
    "anhydrous sodium thiosulfate": "sodium_thiosulfate_anhydrous",
    "vitamin c": "ascorbic_acid",
}
EXCESS = 1.5  # to be on the safe side of old crystals and a wrong reading: DECHLOR


@calculation(
    "dechlorinate",
    unit="mg",
    formula="chlorine × volume × 7.0 (thiosulfate pentahydrate)",
    source="DECHLOR",
    group="new water",
)
def dechlorinate(
    chlorine: Annotated[float, Ask("level", "total chlorine in the new water", at_least=0, at_most=10_000)],
    volume: Annotated[float, Ask("volume", "the new water", above=0)],
    chloramine: Annotated[str, Ask("text", "is it chloramine?", choices=("yes", "no"))] = "no",
    substance: Annotated[
        str, Ask("text", "what is at hand", choices=tuple(PER_CHLORINE), synonyms=SYNONYMS)
    ] = THIOSULFATE,
) -> Answer:
    """How much thiosulfate takes the chlorine out of tap water."""
    if chloramine == "yes" and substance in {"ascorbic_acid", "sodium_ascorbate"}:
        raise Refused(_leaves_chloramine(substance))
    work = Working("near neutral water; total chlorine, not only the free part")
    there = work.step(
        "chlorine", "level × volume", chlorine * volume, "mg", inputs={"level": chlorine, "volume": volume}
    )
    mass = work.step(
        substance.replace("_", " "), f"chlorine × {PER_CHLORINE[substance]:.2f}",
        float(dechlorination_mg(there, substance)), "mg", source="DECHLOR", status="published-read",
    )  # fmt: skip
    also = [Named.of("with half as much again, as is usual", mass * EXCESS, "mg")]
    if chloramine == "yes":
        also.append(_ammonia(work, chlorine))
    return answer(
        mass, "mg", work, high=2 * mass, also=tuple(also),
        says="{shown} takes the chlorine out; half as much again is the usual margin.",
    )  # fmt: skip


def _ammonia(work: Working, chlorine: float) -> Named:
    freed = work.step(
        "ammonia set free",
        "chlorine × 0.1976",
        float(ammonia_n_from_chloramine(chlorine)),
        "mg/L as N",
        source="IUPAC21",
    )
    work.caution("Taking chloramine apart leaves ammonia in the new water.")
    return Named.of("ammonia it frees in the new water", freed, "mg/L as N")


def _leaves_chloramine(substance: str) -> Reason:
    return Reason(
        kind="does_not_work",
        because=f"{substance.replace('_', ' ')} did not take monochloramine away when it was tried.",
        would_change="Use sodium thiosulfate.",
        source="BASU11",
        status="published-read",
    )
