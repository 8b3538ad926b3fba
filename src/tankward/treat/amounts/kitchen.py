"""From milligrams to a kitchen: a batch that can be weighed, the drug brought into it, and cut for each meal.

Nobody is asked to weigh less than ten steps of the scale: the batch is made larger, and the drug goes in
through a bottle of water or through ground food, in steps.
"""

from __future__ import annotations

from math import ceil, exp, log2, sqrt

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Substance
from tankward.room.things import Kit

from .batch import MOST_STEPS, NINE_PARTS
from .food import MedicatedFood
from .food_kinds import GELATINE, LOSS_PER_MIN, FoodKind, Ingredient, ingredients
from .measure import Measured, measurable
from .published import solubility_g_l
from .tools import STEPS_TO_TRUST, on_scale, owned

MEALS = 2  # a day [feeding rate of sick fish]
OFFERED_MIN = 5.0  # then out with what is left [common practice]
SHEET_MM = 5.0  # a gel is poured so thick [own recipe]
GEL_G_ML = 1.0  # it weighs as water does [memory]
LARGEST_PIECE_G = 1.0  # more than that for a meal are several pieces [own recipe]
KEEPS_COLD_D, KEEPS_FROZEN_D = 3.0, 14.0  # recipe_rule "keep" [common-practice]
LEAST_SCALE_G = 0.1  # who owns no scale cannot make it: the recipe is written for one of this step
MG_PER_G = 1000.0


class Mix(msgspec.Struct, frozen=True, kw_only=True):
    """One thinning in ground food: `take_g` of what went before with `with_g` of ground food."""

    take_g: float
    with_g: float


class Portions(msgspec.Struct, frozen=True, kw_only=True):
    """How a batch becomes meals."""

    meal_g: float
    meals_day: int
    days: float
    count: int  # meals in all
    pieces_each: int  # pieces for a meal
    edge_mm: float | None  # of a square piece; None for dry food, which is halved into heaps
    sheet_cm: float | None  # side of the square that the batch fills
    halved_g: float | None  # dry food: so much is weighed and halved
    halvings: int  # so many times: 2 ** halvings heaps, one a meal
    needed_g: float
    left_g: float  # of the batch, after all meals


class Kitchen(msgspec.Struct, frozen=True, kw_only=True):
    """A recipe: what goes in, how the drug is measured, how it is parted."""

    kind: FoodKind
    batch_g: float
    drug_mg: float  # of the product that is weighed, not of its active
    packets: float | None
    ingredients: tuple[Ingredient, ...]
    measured: Measured | None  # weighed or poured as it is, or out of a bottle of water
    weigh_g: float | None  # the drug weighed for thinning in ground food
    mixes: tuple[Mix, ...]
    mix_g: float | None  # of the last mix into the batch
    off: float  # how far the drug in the batch may be out, by the tools alone, as a share
    portions: Portions
    lost: tuple[float, float]  # share that leaves the food while it is offered
    batches: int  # so often it is made: it keeps two weeks
    assumed_kit: bool


def least_batch_g(kit: Kit) -> float:
    """The least of which the gelatine can be weighed with ten steps of the scale. [g]"""
    scale = owned(kit)[0].scale_g or LEAST_SCALE_G
    return STEPS_TO_TRUST * scale / GELATINE


def portioned(kind: FoodKind, batch_g: float, food_g_day: float, days: float, scale_g: float) -> Portions:
    """The batch parted: squares of a gel, heaps of dry food."""
    meal = food_g_day / MEALS
    count = ceil(days * MEALS)
    each, edge, sheet = 1, None, None
    if kind.way != "coat":
        each = max(1, ceil(meal / LARGEST_PIECE_G))
        thick_cm = SHEET_MM / 10.0
        edge = 10.0 * sqrt(meal / each / GEL_G_ML / thick_cm)
        sheet = sqrt(batch_g / GEL_G_ML / thick_cm)
    needed = meal * count
    halvings = 0
    if kind.way == "coat":
        halvings = max(0, ceil(log2(max(STEPS_TO_TRUST * scale_g, needed) / meal)))
    return Portions(
        meal_g=meal,
        meals_day=MEALS,
        days=days,
        count=count,
        pieces_each=each,
        edge_mm=edge,
        sheet_cm=sheet,
        halved_g=meal * 2**halvings if kind.way == "coat" else None,
        halvings=halvings,
        needed_g=needed,
        left_g=max(batch_g - needed, 0.0),
    )


def lost_while_offered(kind: FoodKind, minutes: float = OFFERED_MIN) -> tuple[float, float]:
    """Share of the drug that leaves the food in so many minutes: little, much. [-]"""
    low, high = (1.0 - exp(-k * minutes) for k in LOSS_PER_MIN[kind.way])
    return low, high


def kitchen(
    made: MedicatedFood,
    kind: FoodKind,
    days: float,
    kit: Kit,
    facts: Facts,
    *,
    one: Substance | None,
    product_mg: float,
    packets: float | None = None,
    poured: Measured | None = None,
) -> Kitchen:
    """The recipe of a batch.

    Parameters
    ----------
    made : MedicatedFood
        Its food and strength.
    kind : FoodKind
        Which food.
    days : float
        For which it is fed. [d]
    kit : Kit
        What the keeper measures with.
    facts : Facts
        Marks of syringes, what dissolves.
    one : Substance or None
        The drug, for what dissolves of it.
    product_mg : float
        How much of the product goes in. [mg]
    packets : float, optional
        Whole packets that go in; nothing is weighed then.
    poured : Measured, optional
        A liquid, measured already.
    """
    tools, assumed = owned(kit)
    measured, off = poured, 0.0
    weigh: float | None = None
    mix: float | None = None
    mixes: tuple[Mix, ...] = ()
    if poured is not None:
        off = _off(poured)
    elif packets is None:
        measured = _whole(product_mg, kind, tools, facts, one, made.batch_g)
        if measured is None:
            weigh, mixes, mix, off = thinned(product_mg, tools)
        else:
            off = _off(measured)
    return Kitchen(
        kind=kind,
        batch_g=made.batch_g,
        drug_mg=product_mg,
        packets=packets,
        ingredients=ingredients(kind, made.batch_g),
        measured=measured,
        weigh_g=weigh,
        mixes=mixes,
        mix_g=mix,
        off=off,
        portions=portioned(kind, made.batch_g, made.food_g_day, days, tools.scale_g or LEAST_SCALE_G),
        lost=lost_while_offered(kind),
        batches=ceil(days / KEEPS_FROZEN_D),
        assumed_kit=assumed,
    )


def _off(m: Measured) -> float:
    return max(m.high - m.wanted, m.wanted - m.low) / m.wanted


def _whole(
    mg: float, kind: FoodKind, kit: Kit, facts: Facts, one: Substance | None, batch_g: float
) -> Measured | None:
    """Weighed as it is; for a gel also out of a bottle of water, if its own water takes the portion."""
    direct = on_scale(mg, kit)
    if direct is not None:
        return measurable(mg, "mg", kit, facts, None)
    if kind.way == "coat" or one is None or solubility_g_l(one)[0] is None:
        return None  # what is not known to dissolve settles in a bottle: it goes through ground food
    found = measurable(mg, "mg", kit, facts, one)
    water = next(i.amount for i in ingredients(kind, batch_g) if i.what == "water")
    fits = found.batch is not None and found.batch.portion_ml <= water and found.batch.into_ml <= BOTTLE_ML
    return found if fits else None


BOTTLE_ML = 1000.0  # a bottle, no bucket, for what goes into food [own choice]


def thinned(mg: float, kit: Kit) -> tuple[float, tuple[Mix, ...], float, float]:
    """Ten steps of the scale, thinned in ground food until the part that is wanted can be weighed too.

    Returns
    -------
    weigh_g, mixes, mix_g, off
        What is weighed; each thinning; how much of the last mix goes in; how far it may be out.
    """
    scale = kit.scale_g or LEAST_SCALE_G
    weigh = STEPS_TO_TRUST * scale
    off, mixes = 1.0 / STEPS_TO_TRUST, list[Mix]()
    part = mg / MG_PER_G
    while part < weigh * (1 - 1e-9) and len(mixes) < MOST_STEPS:
        mixes.append(Mix(take_g=weigh, with_g=weigh * (NINE_PARTS - 1)))
        part *= NINE_PARTS
        off += scale / (weigh * (NINE_PARTS - 1))
        if len(mixes) > 1:
            off += scale / weigh
    given = round(part / scale) * scale
    off += scale / given + abs(given - part) / part
    return weigh, tuple(mixes), given, off
