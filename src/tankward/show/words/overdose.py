"""A dose over everything published, in words."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.quantities.parse import Estimate
from tankward.treat.amounts.published import Published


def over_head(substance: str, level: Estimate, unit: str, facts: Facts) -> str:
    """More in the water than its limit, as a heading."""
    name = facts.substances[substance].names[0]
    return f"Too much {name} is in it: about {shown(level.value, unit)}."


def overdose_says(substance: str, level: float, span: Published, facts: Facts) -> str:
    """How far over, and what to do about it."""
    name = facts.substances[substance].names[0]
    return (
        f"This dose makes {shown(level, span.unit)} of {name}, {shown(level / span.high)} times the highest "
        f"published ({span.shown}). Typed wrong? Take it back with undo. If it is in the water, what-now "
        "says how to thin it."
    )
