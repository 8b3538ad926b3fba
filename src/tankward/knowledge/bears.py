"""What an animal, a plant or their group bears of every substance, the unknown told with the known."""

from __future__ import annotations

from tankward.knowledge.bearing import Bearing, borne
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.substance import Tolerance

HARDEST = ("lethal", "avoid", "caution", "ok", "unknown")


class Bears(Record, frozen=True, kw_only=True):
    """One substance: how it is borne at usual levels, and the figure measured nearest to the animal."""

    bearing: Bearing
    measured: Tolerance | None = None
    near: str = ""  # own species, own group


def bears_of(facts: Facts, group: str, animal: str = "") -> tuple[Bears, ...]:
    """Every substance, what kills first and what nobody knows last.

    Parameters
    ----------
    facts : Facts
        The facts.
    group : str
        Id of a group of animals or plants.
    animal : str
        Id of an animal of it, for what was measured in its own kind.
    """
    found = [_one(facts, group, animal, substance) for substance in facts.substances]
    return tuple(sorted(found, key=lambda b: HARDEST.index(b.bearing.cls)))


def _one(facts: Facts, group: str, animal: str, substance: str) -> Bears:
    whole = facts.sensitivity(group, substance)
    rows = borne(facts.substances, facts.animals, substance, animal) if animal else ()
    near = next((b for b in rows if b.near in ("own species", "own group") and b.row.span), None)
    if near is None:
        return Bears(bearing=whole)
    return Bears(bearing=whole, measured=near.row, near=near.near)
