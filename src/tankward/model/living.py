"""Who breathes and eats in a tank: mass of the animals from what was entered about them."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.knowledge.beliefs import Z95
from tankward.knowledge.known import Facts
from tankward.knowledge.records.animal import Animal
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock
from tankward.water.animals import MASS_EXPONENT, mass_g

REFERENCE_G = 50.0  # the mass for which the fit of breathing is written
SHAPES = {"snail": "snail (shell height, with shell)", "frog": "frog (snout to vent)"}
WITHOUT_SPREAD = 2.0  # a shape whose spread was not given is taken as good to a factor of two [memory]


class Living(msgspec.Struct, frozen=True, kw_only=True):
    """The animals of a tank together. `unweighed`: groups of which no mass could be worked out."""

    mass_g: Estimate
    breath_50g: Estimate  # Σ number × (mass / 50 g)^0.79
    planted: bool = False
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
    return Living(
        mass_g=_total(_times(number, one) for number, one in masses),
        breath_50g=_total(_times(number, _breath(one)) for number, one in masses),
        planted=any(s.kind in facts.plants for s in stocks),
        unweighed=tuple(s.id for s, one in groups if one is None and s.number.high > 0 and s.stage != "egg"),
    )


def mass_of(stock: Stock, facts: Facts) -> Estimate | None:
    """Mass of one animal. [g] None where neither mass nor length is known."""
    if stock.mass_g is not None:
        return stock.mass_g
    animal = facts.animals.get(stock.kind)
    length = stock.length_cm
    if animal is None or length is None:
        return None
    a, b, spread = _curve(animal, facts)
    return Estimate(
        float(mass_g(length.value, a, b)),
        float(mass_g(length.low, a, b)) / spread,
        float(mass_g(length.high, a, b)) * spread,
    )


def _curve(animal: Animal, facts: Facts) -> tuple[float, float, float]:
    """Mass = a L^b, and the factor by which it may be off (5th to 95th centile)."""
    own = [t for t in animal.fact if t.quantity == "length_weight" and t.a and t.b and "TL" in t.basis]
    row = max(own, key=lambda t: t.n or 0, default=None)
    shape = SHAPES.get(animal.body_shape, animal.body_shape)
    fallback = next(s for s in facts.tables.shape_length_weight if s.shape == shape)
    a, b = (row.a, row.b) if row is not None else (fallback.a, fallback.b)
    sd = (row.sd_log10_a if row is not None else None) or fallback.sd_log10_a
    spread = 10.0 ** (Z95 * sd) if sd else WITHOUT_SPREAD
    return float(a or 0.0), float(b or 0.0), float(spread)


def _breath(one: Estimate) -> Estimate:
    low, value, high = ((g / REFERENCE_G) ** MASS_EXPONENT for g in (one.low, one.value, one.high))
    return Estimate(value, low, high)


def _times(number: Estimate, one: Estimate) -> Estimate:
    return Estimate(number.value * one.value, number.low * one.low, number.high * one.high)


def _total(parts: Iterable[Estimate]) -> Estimate:
    kept = tuple(parts)
    return Estimate(sum(p.value for p in kept), sum(p.low for p in kept), sum(p.high for p in kept))
