"""How much water is changed, and what makes the new water fit."""

from __future__ import annotations

from tankward.judge.choices import ACID_PH, HALF_CHANGE, SMALL_CHANGE, Choice
from tankward.judge.first_aid import dechlorinator
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working, answer

from .records import Valued
from .request import CourseRequest

NO_CHLORINE = "none"
DECHLORINATOR = "sodium_thiosulfate"


def share_of(request: CourseRequest) -> Choice:
    """Half; 15 to 20 % where the pH is under 6.8 or not known.

    In an old, acid tank hard tap water would free the ammonia (safety rule 17).
    """
    ph = request.water.of("ph") if request.water else None
    return SMALL_CHANGE if ph is None or ph.value < ACID_PH.value else HALF_CHANGE


def litres_of(volume_l: Estimate, share: float) -> Answer:
    """Litres of one change."""
    work = Working()
    work.step("volume", "water of the tank", volume_l.value, "L")
    litres = work.step("to change", "volume × share", volume_l.value * share, "L", inputs={"share": share})
    return answer(
        litres, "L", work, low=volume_l.low * share, high=volume_l.high * share, says="Change {shown}."
    )


def needs_dechlorinator(request: CourseRequest) -> bool:
    """Unless the keeper has said that the tap holds none."""
    return request.tank.tap != NO_CHLORINE


def dechlorinator_of(volume_l: Estimate, share: float, facts: Facts) -> Answer:
    """Thiosulfate for the new water of a change. [g]"""
    return dechlorinator(volume_l.scaled(share), facts)


def valued(choice: Choice, unit: str = "") -> Valued:
    """A choice as a number of a sentence."""
    return Valued(
        value=choice.value,
        low=choice.value,
        high=choice.value,
        unit=unit or choice.unit,
        source=choice.source,
        status=choice.status,
    )
