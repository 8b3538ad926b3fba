"""What animals weigh, from their length and the curves of the facts. Missing is None, never zero."""

from __future__ import annotations

import msgspec

from tankward.knowledge.find import find_animal
from tankward.knowledge.known import Facts
from tankward.knowledge.records.animal import Animal, Trait
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.water.animals import mass_g

from .things import Stock

Z95 = 1.645  # standard deviations to the 95th centile
OF_FAMILY = "for this (Sub)family-body shape"
FACTOR_WITHOUT_SD = 2.0  # a curve whose scatter nobody printed: as wide as the printed ones


class Curve(msgspec.Struct, frozen=True, kw_only=True):
    """Mass in g = a · length in cm ^ b, and the factor by which one animal may lie off it (95 %)."""

    a: float
    b: float
    factor: float
    basis: str
    source: str
    status: str

    def grams(self, length_cm: Estimate) -> Estimate:
        """Weight of one animal of that length."""
        likely, low, high = (
            float(mass_g(x, self.a, self.b)) for x in (length_cm.value, length_cm.low, length_cm.high)
        )
        return Estimate(likely, low / self.factor, high * self.factor)


def curve_of(animal: Animal, facts: Facts) -> Curve | None:
    """The curve that is used for an animal: its own estimate, its family's, else that of its shape.

    The estimates of the table carry their scatter and are fed a length to the tip of the tail; single studies
    of a species are often for another length, so they come second.
    """
    own = [r for r in _rows(animal) if "TL" in r.basis]
    best = next((r for r in own if r.sd_log10_a is not None), own[0] if own else None)
    best = best or _family_row(animal, facts)
    return _curve(best) if best is not None else shape_curve(animal.body_shape, facts)


def _rows(animal: Animal) -> list[Trait]:
    return [r for r in animal.fact if r.quantity == "length_weight" and r.a is not None and r.b is not None]


def _family_row(animal: Animal, facts: Facts) -> Trait | None:
    """The estimate for the family and shape, as it stands with a relative."""
    kin = (a for a in facts.animals.values() if (a.group, a.body_shape) == (animal.group, animal.body_shape))
    return next((r for a in kin for r in _rows(a) if OF_FAMILY in r.basis), None)


def _curve(row: Trait) -> Curve:
    return Curve(
        a=row.a or 0.0,
        b=row.b or 0.0,
        factor=_factor(row.sd_log10_a),
        basis=row.basis,
        source=row.source,
        status=row.status,
    )


def shape_curve(shape: str, facts: Facts) -> Curve | None:
    """The curve of all animals of one shape; None where there is none."""
    for row in facts.tables.shape_length_weight:
        if row.shape == shape or row.shape.startswith(f"{shape} ("):
            return Curve(
                a=row.a,
                b=row.b,
                factor=_factor(row.sd_log10_a),
                basis=row.basis,
                source=row.source,
                status=row.status,
            )
    return None


def _factor(sd_log10: float | None) -> float:
    return FACTOR_WITHOUT_SD if sd_log10 is None else 10 ** (Z95 * sd_log10)


def adult_length(animal: Animal) -> Estimate | None:
    """How long it grows, where the facts say so."""
    for quantity in ("adult_size", "max_length"):
        for row in animal.fact:
            if row.quantity == quantity and row.span is not None:
                low, high = row.span
                return Estimate(row.value if row.value is not None else (low + high) / 2, low, high)
    return None


def one_g(kind: str, length_cm: Estimate, facts: Facts) -> Estimate | None:
    """Weight of one animal of a kind; None where no curve is known."""
    if kind not in facts.animals:
        return None
    curve = curve_of(facts.animals[kind], facts)
    return None if curve is None else curve.grams(length_cm)


def stock_g(stock: Stock, facts: Facts) -> Estimate | None:
    """Weight of a whole group: what was weighed wins over the curve; None where neither is known."""
    one = stock.mass_g
    if one is None and stock.length_cm is not None:
        one = one_g(stock.kind, stock.length_cm, facts)
    if one is None:
        return None
    n = stock.number
    return Estimate(one.value * n.value, one.low * n.low, one.high * n.high)


def animal_called(words: str, facts: Facts) -> Animal:
    """The animal that words mean.

    Raises
    ------
    BadInput
        If they mean none, or several.
    """
    found = find_animal(facts, words)
    if found not in facts.animals:
        raise BadInput("animal", words, "is not known here. tankward facts lists what is known.")
    return facts.animals[found]
