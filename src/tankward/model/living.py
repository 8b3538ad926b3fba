"""Who breathes and eats in a tank: mass of the animals from what was entered about them."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock
from tankward.room.weight import one_g
from tankward.water.animals import MASS_EXPONENT

REFERENCE_G = 50.0  # the mass for which the fit of breathing is written


class Living(msgspec.Struct, frozen=True, kw_only=True):
    """The animals of a tank together. `unweighed`: groups of which no mass could be worked out."""

    mass_g: Estimate
    breath_50g: Estimate  # Σ number × (mass / 50 g)^0.79
    planted: bool = False
    # Fish alone, for what lives on them; None: not told apart.
    fish: Estimate | None = None
    fish_g: Estimate | None = None
    unweighed: tuple[str, ...] = ()

    @property
    def any(self) -> bool:
        """Whether any animal was entered and weighed."""
        return self.mass_g.value > 0


def living_of(stocks: Iterable[Stock], facts: Facts) -> Living:
    """The animals and plants of a tank.

    Parameters
    ----------
    stocks : iterable of Stock
        Groups that live in one tank.
    facts : Facts
        Length to mass by species, else by shape of body.

    Returns
    -------
    Living
        Mass [g] and the sum that breathing goes by, each with its range: ends add up, as one curve
        errs for all.
    """
    groups = [(s, mass_of(s, facts)) for s in stocks if s.kind not in facts.plants]
    masses = [(s.number, one) for s, one in groups if one is not None]
    swim = [(s.number, one) for s, one in groups if one is not None and _swims(s, facts)]
    return Living(
        fish=_total(number for number, _ in swim) if swim else None,
        fish_g=_total(_times(number, one) for number, one in swim) if swim else None,
        mass_g=_total(_times(number, one) for number, one in masses),
        breath_50g=_total(_times(number, _breath(one)) for number, one in masses),
        planted=any(s.kind in facts.plants for s in stocks),
        unweighed=tuple(s.id for s, one in groups if one is None and s.number.high > 0 and s.stage != "egg"),
    )


def _swims(stock: Stock, facts: Facts) -> bool:
    """Whether it is a fish; an animal that nobody knows counts as one."""
    return stock.kind not in facts.animals or facts.animals[stock.kind].kind == "fish"


def mass_of(stock: Stock, facts: Facts) -> Estimate | None:
    """Mass of one animal. [g] None where neither mass nor length is known."""
    if stock.mass_g is not None:
        return stock.mass_g
    return None if stock.length_cm is None else one_g(stock.kind, stock.length_cm, facts)


def _breath(one: Estimate) -> Estimate:
    low, value, high = ((g / REFERENCE_G) ** MASS_EXPONENT for g in (one.low, one.value, one.high))
    return Estimate(value, low, high)


def _times(number: Estimate, one: Estimate) -> Estimate:
    return Estimate(number.value * one.value, number.low * one.low, number.high * one.high)


def _total(parts: Iterable[Estimate]) -> Estimate:
    kept = tuple(parts)
    return Estimate(sum(p.value for p in kept), sum(p.low for p in kept), sum(p.high for p in kept))
