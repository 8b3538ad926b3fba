"""Our own ceilings on the level in the water, whatever the regimen; every dose still in it counts,
as part of a combination too.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason


class Ceil(msgspec.Struct, frozen=True, kw_only=True):
    """Where a level lies against the ceiling of a substance."""

    substance: str
    says: Literal["none", "under", "warn", "refuse"]
    level: float
    warn_above: float | None = None
    refuse_above: float | None = None
    reason: Reason | None = None


def ceiling(substance: str, level: float, facts: Facts) -> Ceil:
    """The ceiling of one substance for what is in the water after a dose.

    Parameters
    ----------
    substance : str
        Id of a substance or part, never a combination.
    level : float
        Highest level in the water, every dose still in it counted. [mg/L]
    facts : Facts
        The facts.

    Returns
    -------
    Ceil
        "none" where no ceiling is set.

    Source: the rows `ceiling` of the substance; so far only metronidazole (computed from METGUT).
    """
    row = next(iter(facts.substances[substance].ceiling), None)
    if row is None:
        return Ceil(substance=substance, says="none", level=level)
    says: Literal["under", "warn", "refuse"] = "under"
    if level > row.warn_above:
        says = "refuse" if level > row.refuse_above else "warn"
    reason = Reason(
        kind=f"ceiling-{says}",
        because=row.text,
        would_change="give it in the food while they eat, or change water first",
        source=row.source,
        status=row.status,
    )
    return Ceil(
        substance=substance,
        says=says,
        level=level,
        warn_above=row.warn_above,
        refuse_above=row.refuse_above,
        reason=None if says == "under" else reason,
    )
