"""Sentences of the card of a tank."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.quantities.digits import shown
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer

from .acts import listed
from .room import Lives, count

TITLE = "Tank cards"
MOST_GROUPS = 3
CUT = "Cut along the dashes. The square opens the tank's page in the telephone's camera."
NET = "Own net"
ROUND = {
    "sick": "last in the round",
    "watch": "late in the round",
    "well": "early in the round",
    "unknown": "mid round",
    "empty": "",
}
PLURAL = {"shrimp": "shrimp", "snail": "snails", "crayfish": "crayfish"}
QR_SAYS = "Square to scan: {url}"


def water_words(water: Answer) -> str:
    """Litres with their range."""
    if water.value is None:
        return "Litres not known"
    told = water.shown_range
    return water.shown if told == water.shown else f"{water.shown} ({told})"


def warmth_words(temp_c: Estimate | None) -> str:
    """How warm it is kept."""
    if temp_c is None:
        return "Warmth not known"
    low, high = shown(temp_c.low, "C"), shown(temp_c.high, "C")
    return low if low == high else f"{low} to {high}"


def who(lives: Sequence[Lives]) -> list[str]:
    """One line a group; what does not fit is counted."""
    rows = [f"{count(g.stock.number)} {g.stock.name or g.common or 'of unknown kind'}" for g in lives]
    if not rows:
        return ["Nobody is written down"]
    over = len(rows) - MOST_GROUPS
    return rows if over <= 0 else [*rows[: MOST_GROUPS - 1], f"and {over + 1} groups more"]


def round_words(state: str) -> str:
    """Its own net, and when its turn is."""
    return f"{NET}; {ROUND[state]}" if ROUND[state] else NET


def never_words(copper_kills: Sequence[str], unknown_kind: bool) -> str:
    """What must never go in."""
    if copper_kills:
        return f"NEVER COPPER: {listed([PLURAL[kind] for kind in copper_kills])}"
    return "NO COPPER: a kind is not known" if unknown_kind else ""
