"""Rule 33: "see a veterinarian" always says what to bring, whether one who treats fish is needed,
what to do until then.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts

from .causes import Ranked

FISH_VET_COST = ("vet", "lab", "microscope or vet")


class Vet(msgspec.Struct, frozen=True, kw_only=True):
    """A visit, prepared."""

    because: tuple[str, ...]
    fish_vet: bool  # one who treats fish is needed, not any
    bring: tuple[str, ...]
    until_then: tuple[str, ...]
    in_time: Literal["today", "this week", "when you can"]
    notifiable: tuple[str, ...] = ()  # causes of which an authority must be told
    status: str = "common-practice"


def see_vet(
    ranked: Sequence[Ranked], facts: Facts, *, dead_at_hand: bool = False, substance: str = ""
) -> Vet:
    """What a visit to a veterinarian needs.

    Parameters
    ----------
    ranked : sequence of Ranked
        What it may be, likeliest first.
    facts : Facts
        Tests of the causes, and whether an authority must be told.
    dead_at_hand : bool
        Whether a fish has died within hours.
    substance : str
        A medicine that only a veterinarian may order, where that is why.

    Returns
    -------
    Vet
        Never without what to bring and what to do until then.
    """
    named = [r for r in ranked if r.value >= 0.05]
    likely = named or list(ranked[:3])
    needs_lab = [r.id for r in likely if any(t.cost in FISH_VET_COST for t in facts.causes[r.id].test)]
    told = tuple(r.id for r in likely if not facts.causes[r.id].notifiable.startswith("no"))
    return Vet(
        because=(substance,) if substance else tuple(needs_lab or [r.id for r in likely]),
        fish_vet=bool(needs_lab) or bool(substance),
        bring=_bring(dead_at_hand),
        until_then=UNTIL_THEN,
        in_time=_in_time(named),
        notifiable=told,
    )


def _bring(dead: bool) -> tuple[str, ...]:
    fish = (
        "the fresh dead fish, bagged and cool, never frozen" if dead else "one sick fish alive in tank water"
    )
    return (
        fish,
        "half a litre of tank water and the same of tap water, apart",
        "the readings with their times",
        "photographs and a minute of film",
        "the log: what went in, when, how much, whose litres",
        "every packet and label",
        "the list of who lives there, and who died when",
    )


UNTIL_THEN = (
    "air, calm, dim light",
    "half the food",
    "part of the water changed, matched and dechlorinated",
    "the dead out at once",
    "own net and siphon for this tank",
    "nothing bought, sold or moved",
    "no medicine that would hide what is looked for",
)


def _in_time(likely: Sequence[Ranked]) -> Literal["today", "this week", "when you can"]:
    words = " ".join(r.urgency for r in likely[:3])
    if any(w in words for w in ("minutes", "hours", "a day", "1-2 d")):
        return "today"
    return "this week" if "day" in words else "when you can"
