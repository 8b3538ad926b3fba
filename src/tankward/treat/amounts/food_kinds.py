"""Which food takes the medicine: gel, dry food coated with oil, frozen food bound with gelatine."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput

Way = Literal["gel", "coat", "bound"]

GELATINE = 0.05  # of the whole, for pieces that last 10-15 min [recipe gel_firm: memory]
HOT_WATER = 0.20  # of the whole, to melt the gelatine in where frozen food brings none [own recipe]
OIL = 0.04  # of the whole, middle of 3-5 % [recipe oil_coat: common-practice]
OIL_G_ML = 0.92  # vegetable oil [memory]
GEL_MOISTURE = 0.75  # our own gel, within 70-85 % of the facts' home gels
GELATINE_MOISTURE = 0.10  # of the powder [memory]
WATER_WHOLE = 0.95  # wetter than this nothing sets

# word -> (feed of the facts, how the medicine gets in)
KINDS: dict[str, tuple[str, Way]] = {
    "gel": ("gel", "gel"),
    "flakes": ("flake", "coat"),
    "granules": ("granule", "coat"),
    "frozen": ("frozen", "bound"),
}
# Leaves the food, per minute [leaching_model: computed from losses of coated and mixed-in foods].
LOSS_PER_MIN: dict[Way, tuple[float, float]] = {
    "gel": (0.004, 0.015),
    "bound": (0.004, 0.015),
    "coat": (0.024, 0.024),
}


class FoodKind(msgspec.Struct, frozen=True, kw_only=True):
    """A food that takes a medicine, ready made: moisture of what the fish are given."""

    id: str
    way: Way
    moisture: float
    dry_moisture: float  # of the dry food that it is made of, and that rations are meant in
    source: str
    status: str


class Ingredient(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that goes into a batch beside the medicine."""

    what: str  # dry-food, frozen-food, gelatine, water, oil
    amount: float
    unit: str  # g, mL
    status: str


def food_kind(word: str, facts: Facts, moisture: float | None = None) -> FoodKind:
    """The food that is meant.

    Parameters
    ----------
    word : str
        gel, flakes, granules or frozen; "" is flakes.
    facts : Facts
        Moisture of foods.
    moisture : float or None
        As the keeper knows it; share of the weight. [-]

    Raises
    ------
    BadInput
        For another food, or one wetter than sets.
    """
    word = word.strip().lower() or "flakes"
    if word not in KINDS:
        raise BadInput("food", word, f"is not one of {', '.join(KINDS)}.")
    if moisture is not None and not 0.0 <= moisture <= WATER_WHOLE:
        raise BadInput("moisture", f"{100 * moisture:g} %", "can't be right: 0 to 95 % of a food is water.")
    feed, way = KINDS[word]
    row, dry = facts.feeds[feed], facts.feeds["flake"]
    dry_moisture = (dry.moisture_low + dry.moisture_high) / 200.0
    own = (row.moisture_low + row.moisture_high) / 200.0 if moisture is None else moisture
    if way == "gel" and moisture is None:
        own = GEL_MOISTURE
    if way == "bound":  # of what it becomes with gelatine and hot water
        own = own * (1 - GELATINE - HOT_WATER) + HOT_WATER + GELATINE * GELATINE_MOISTURE
    if way == "coat" and moisture is None:
        own = dry_moisture  # rations are meant in it: no false difference between flakes and granules
    return FoodKind(
        id=word, way=way, moisture=own, dry_moisture=dry_moisture, source=row.source, status=row.status
    )


def ingredients(kind: FoodKind, batch_g: float) -> tuple[Ingredient, ...]:
    """What a batch is made of, in the order in which it is taken. The whole weighs `batch_g`."""
    if kind.way == "coat":
        oil = OIL * batch_g
        return (
            Ingredient(what="dry-food", amount=batch_g - oil, unit="g", status="computed"),
            Ingredient(what="oil", amount=oil / OIL_G_ML, unit="mL", status="common-practice"),
        )
    gelatine = GELATINE * batch_g
    if kind.way == "bound":
        water = HOT_WATER * batch_g
        return (
            Ingredient(what="frozen-food", amount=batch_g - gelatine - water, unit="g", status="computed"),
            Ingredient(what="gelatine", amount=gelatine, unit="g", status="memory"),
            Ingredient(what="water", amount=water, unit="mL", status="common-practice"),
        )
    dry_matter = batch_g * (1 - kind.moisture) - gelatine * (1 - GELATINE_MOISTURE)
    dry = max(dry_matter, 0.0) / (1 - kind.dry_moisture)
    return (
        Ingredient(what="dry-food", amount=dry, unit="g", status="computed"),
        Ingredient(what="gelatine", amount=gelatine, unit="g", status="memory"),
        Ingredient(what="water", amount=batch_g - gelatine - dry, unit="mL", status="computed"),
    )
