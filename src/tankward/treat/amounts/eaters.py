"""Who eats: grams of all the fish, from what was weighed, their length, or how long their kind grows."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
from msgspec.structs import replace

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock
from tankward.room.weight import adult_length, shape_curve, stock_g

STAND_IN_SHAPE = "fusiform"  # where a kind has no curve of its own


class Eaters(msgspec.Struct, frozen=True, kw_only=True):
    """Grams of all that eat, and whose length had to be taken from the facts."""

    grams: Estimate
    grown: tuple[str, ...] = ()  # names: no length is known, so as long as their kind grows
    weighed: bool = False


def eaters(fish: Sequence[Stock], facts: Facts) -> Eaters:
    """What they weigh together.

    Parameters
    ----------
    fish : sequence of Stock
        Those that eat the food.
    facts : Facts
        Curves and sizes.

    Raises
    ------
    BadInput
        If there are none; or of one neither weight nor length is known, nor how long its kind grows.
    """
    if not fish:
        raise BadInput("stock", "", "is missing: who eats? Say which fish, how many and how long.")
    found = [(s, *_grams(s, facts)) for s in fish]
    weights = [g for _, g, _ in found]
    return Eaters(
        grams=Estimate(
            sum(g.value for g in weights), sum(g.low for g in weights), sum(g.high for g in weights)
        ),
        grown=tuple(s.name for s, _, grown in found if grown),
        weighed=all(s.mass_g is not None for s, _, _ in found),
    )


def _grams(one: Stock, facts: Facts) -> tuple[Estimate, bool]:
    """Grams of a group, and whether its length is that of its kind."""
    known = facts.animals.get(one.kind)
    grown = one.mass_g is None and one.length_cm is None
    if grown and known is not None and one.stage == "adult":
        one = replace(one, length_cm=adult_length(known))
    if one.mass_g is None and one.length_cm is None:
        raise BadInput("stock", one.name, "has no length yet: say how long they are, or weigh a netful.")
    found, curve = stock_g(one, facts), shape_curve(STAND_IN_SHAPE, facts)
    if found is None and one.length_cm is not None and curve is not None:
        each, n = curve.grams(one.length_cm), one.number
        found = Estimate(each.value * n.value, each.low * n.low, each.high * n.high)
    if found is None:
        raise BadInput("stock", one.name, "has no curve of weight yet: weigh a netful.")
    return found, grown
