"""A dose over everything published, in words."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.treat.amounts.published import Published


def overdose_says(substance: str, level: float, span: Published, facts: Facts) -> str:
    """How far over, and what to do about it."""
    name = facts.substances[substance].names[0]
    return (
        f"This dose makes {shown(level, span.unit)} of {name}, {shown(level / span.high)} times the highest "
        f"published ({span.shown}). Typed wrong? Take it back with undo. If it is in the water, ask what-now."
    )
