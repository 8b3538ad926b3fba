"""What today's readings changed in the forecast, in words."""

from __future__ import annotations

from tankward.judge.learned import Learned, Moved
from tankward.knowledge.known import Facts
from tankward.model.result import Forecast
from tankward.quantities.digits import shown_range

from .acts import listed, upper
from .forecast import extreme_says, series_name

NOTHING = "The water was not read today: it rests on what you entered before."


def learned_says(told: Learned, found: Forecast, facts: Facts) -> list[str]:
    """What was read, what it moved, whether all of it fits together."""
    said = _fits(found, facts)
    if not told.read:
        return [NOTHING, *said]
    what = listed([series_name(q, facts) for q in told.read])
    moved = [m for m in told.moved if m.matters]
    if not moved:
        return [f"Today's readings ({what}) change little: they are as expected.", *said]
    return [f"Today's readings ({what}) change it:", *(f"  {moved_says(m, facts)}" for m in moved), *said]


def moved_says(moved: Moved, facts: Facts) -> str:
    """One figure with and without them."""
    with_, without = (
        shown_range(e.low, e.high, moved.unit).removesuffix(" pH") for e in (moved.after, moved.before)
    )
    return f"{extreme_says(moved.name, moved.kind, facts)}: {with_}, without them {without}"


def _fits(found: Forecast, facts: Facts) -> list[str]:
    odd = [c.about for c in found.cautions if c.kind == "reading-unexplained"]
    told = [f"{upper(series_name(q, facts))} as you read it is explained by nothing here." for q in odd]
    if not found.fits:
        told.append("What you entered does not fit together: read the water again.")
    return told
