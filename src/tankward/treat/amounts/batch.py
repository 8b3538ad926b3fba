"""What can't be measured alone: a packet dissolved, a stock bottle, a dilution in steps."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.things import Kit

from .stock import fits_in, least_water_ml
from .tools import STEPS_TO_TRUST, in_jug, in_syringe

DISSOLVE_ML = 400.0  # a large cup; enough for a syringe to be exact [common practice, no source]
BOTTLES_ML = (100.0, 250.0, 500.0, 1000.0)
STEP_TAKE_ML, STEP_INTO_ML = 10.0, 100.0
MOST_STEPS = 4
HALF_L_ML, MOST_BUCKET_ML = 500.0, 10_000.0  # a bucket is filled by half litres [common practice, no source]
GOOD = 0.05  # a portion whose measuring error is under this needs no larger bottle [common practice]


class Batch(msgspec.Struct, frozen=True, kw_only=True):
    """Dissolve `take` in `into_ml`, thin it `steps` times, give `portion_ml` of it.

    `kind`: "dissolve" (whole packets), "stock" (a weighed powder), "stepwise" (thinned further), "liquid" (a
    measured liquid thinned). `give` and `off` are what the portion gives and how far it may be out.
    """

    kind: str
    take: float
    take_unit: str  # mg, L or the piece
    into_ml: float
    steps: int = 0
    step_take_ml: float = STEP_TAKE_ML
    step_into_ml: float = STEP_INTO_ML
    portion_ml: float
    pour_out_ml: float | None = None  # shorter: pour so much away and give the rest
    tool: str
    give: float
    off: float


def dissolved(
    count: float, piece: str, kit: Kit, facts: Facts, piece_mg: float, solubility: float | None
) -> Batch:
    """Whole packets in a cup of water and a part of it given; the rest is thrown away.

    Parameters
    ----------
    count : float
        Packets wanted. [-]
    piece : str
        Name of the packet.
    kit : Kit
        What the keeper measures with.
    facts : Facts
        Marks of syringes.
    piece_mg : float
        Active that dissolves worst, in one packet; 0 where not known. [mg]
    solubility : float or None
        How much of it dissolves. [g/L]
    """
    whole = -(-count // 1)
    into = DISSOLVE_ML
    if solubility is not None and not fits_in(whole * piece_mg, into, solubility):
        into = least_water_ml(whole * piece_mg, solubility)
    return _portioned("dissolve", whole, piece, into, count / whole * into, kit, facts)


def _portioned(
    kind: str, take: float, unit: str, into: float, portion: float, kit: Kit, facts: Facts
) -> Batch:
    """The portion as it can be measured; where less is left over than given, pour that away instead."""
    rest = into - portion
    shorter = 0 < rest < portion
    moved = rest if shorter else portion
    reading = in_syringe(moved, kit, facts) or in_jug(moved)
    measured = reading.amount * 1000.0
    given = into - measured if shorter else measured
    return Batch(
        kind=kind,
        take=take,
        take_unit=unit,
        into_ml=into,
        portion_ml=given,
        pour_out_ml=measured if shorter else None,
        tool=reading.name,
        give=take * given / into,
        off=(reading.high - reading.low) / 2 * 1000.0 / given,
    )


def stock_bottle(mg: float, kit: Kit, facts: Facts, solubility: float | None) -> Batch | None:
    """The least that the scale can be trusted with, in a bottle; a portion given; thinned where it must be.

    None where there is no scale or no syringe for it.
    """
    if kit.scale_g is None:
        return None
    weighed = STEPS_TO_TRUST * kit.scale_g * 1000.0
    for bottle in BOTTLES_ML:
        portion = in_syringe(bottle * mg / weighed, kit, facts)
        if portion is None or not fits_in(weighed, bottle, solubility):
            continue
        if portion.off(bottle * mg / weighed / 1000.0) <= GOOD or bottle == BOTTLES_ML[-1]:
            return _of_stock("stock", mg, weighed, bottle, 0, kit, facts)
    return _stepwise(mg, weighed, kit, facts, solubility) or _in_bucket(mg, weighed, solubility)


def _in_bucket(mg: float, weighed: float, solubility: float | None) -> Batch | None:
    """What dissolves too badly for a bottle goes into a bucket, and the portion is poured by the jug."""
    if solubility is None:
        return None
    into = max(BOTTLES_ML[-1], -(-least_water_ml(weighed, solubility) // HALF_L_ML) * HALF_L_ML)
    if into > MOST_BUCKET_ML:
        return None
    portion = in_jug(into * mg / weighed)
    given = portion.amount * 1000.0
    return Batch(
        kind="stock",
        take=weighed,
        take_unit="mg",
        into_ml=into,
        portion_ml=given,
        tool=portion.name,
        give=given * weighed / into,
        off=1.0 / STEPS_TO_TRUST + (portion.high - portion.low) / 2 / portion.amount,
    )


def _stepwise(mg: float, weighed: float, kit: Kit, facts: Facts, solubility: float | None) -> Batch | None:
    into = next((b for b in BOTTLES_ML if fits_in(weighed, b, solubility)), None)
    if into is None:
        into = least_water_ml(weighed, solubility or 0.0)
    for steps in range(1, MOST_STEPS + 1):
        thinned = (STEP_TAKE_ML / STEP_INTO_ML) ** steps
        portion = mg / (weighed / into * thinned)
        if portion <= STEP_INTO_ML and in_syringe(portion, kit, facts) is not None:
            return _of_stock("stepwise", mg, weighed, into, steps, kit, facts)
    return None


def _of_stock(kind: str, mg: float, weighed: float, into: float, steps: int, kit: Kit, facts: Facts) -> Batch:
    per_ml = weighed / into * (STEP_TAKE_ML / STEP_INTO_ML) ** steps
    portion = in_syringe(mg / per_ml, kit, facts)
    if portion is None:
        raise ValueError("a portion was checked to be measurable")
    given = portion.amount * 1000.0
    scale = 1.0 / STEPS_TO_TRUST
    each = (portion.high - portion.low) / 2 / portion.amount
    return Batch(
        kind=kind,
        take=weighed,
        take_unit="mg",
        into_ml=into,
        steps=steps,
        portion_ml=given,
        tool=portion.name,
        give=given * per_ml,
        off=scale + each + steps * GOOD,
    )


def thinned_liquid(ml: float, kit: Kit, facts: Facts) -> Batch | None:
    """A liquid of which too little is wanted: the least that can be measured into water, a portion given."""
    if not kit.syringes_ml:
        return None
    smallest = min(kit.syringes_ml)
    for bottle in BOTTLES_ML:
        portion = in_syringe(bottle * ml / smallest, kit, facts)
        if portion is not None and portion.amount * 1000.0 <= bottle:
            given = portion.amount * 1000.0
            each = (portion.high - portion.low) / 2 / portion.amount
            return Batch(
                kind="liquid",
                take=smallest / 1000.0,
                take_unit="L",
                into_ml=bottle,
                portion_ml=given,
                tool=portion.name,
                give=smallest / 1000.0 * given / bottle,
                off=each + GOOD,
            )
    return None


class FoodBatch(msgspec.Struct, frozen=True, kw_only=True):
    """Weigh `weigh_g` of drug; thin it `steps` times, 1 part with 9 of ground food; mix into `food_g`."""

    weigh_g: float
    steps: int
    food_g: float
    off: float


NINE_PARTS = 10.0  # recipe_rule "serial": 1 part drug with 9 parts of ground feed
MOST_FOOD_G = 100.0


def food_batch(strength_mg_g: float, kit: Kit) -> FoodBatch | None:
    """A batch of food large enough that the drug in it can be weighed. None without a scale."""
    if kit.scale_g is None:
        return None
    weigh = STEPS_TO_TRUST * kit.scale_g
    steps = 0
    while steps < MOST_STEPS and weigh * 1000.0 / NINE_PARTS**steps / strength_mg_g > MOST_FOOD_G:
        steps += 1
    food = weigh * 1000.0 / NINE_PARTS**steps / strength_mg_g
    return FoodBatch(weigh_g=weigh, steps=steps, food_g=food, off=(steps + 1) / STEPS_TO_TRUST)
