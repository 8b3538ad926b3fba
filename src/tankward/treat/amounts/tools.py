"""What a scale, a syringe, a spoon, a dropper can show, and how far each is out."""

from __future__ import annotations

import math
import re

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import Powder
from tankward.knowledge.records.substance import Substance
from tankward.room.things import Kit, Spoon

STEPS_TO_TRUST = 10  # hygiene, scale: "least mass = 10 x step" [computed]
SPOON_REPEATS = 0.15  # hygiene, powder_rule spoon_error: a level spoon repeats within 10-20 % [memory]
HALF_PIECE_OFF = 0.10  # a tablet or sachet halved by eye [common practice, no source]
JUG_OFF = 0.05  # marks of a kitchen jug [common practice, no source]
SPOONABLE_KINDS = ("salt", "buffer", "water conditioner")
DRUG_BY_SPOON_FROM_MG = 1000.0  # powder_rule spoon_error: drugs under 1 g never by spoon [memory]
TSP_ML, TBSP_ML = 4.92892, 14.7868  # hygiene, spoon: definitions

# What is taken for granted, and said, where the keeper has not yet told what they own.
COMMON_KIT = Kit(
    scale_g=0.1,
    syringes_ml=(1.0, 5.0, 20.0),
    spoons=tuple(
        Spoon(name=name, volume_ml=ml)
        for name, ml in (
            ("1/8 tsp", TSP_ML / 8),
            ("1/4 tsp", TSP_ML / 4),
            ("1/2 tsp", TSP_ML / 2),
            ("tsp", TSP_ML),
            ("tbsp", TBSP_ML),
        )
    ),
)


class Reading(msgspec.Struct, frozen=True, kw_only=True):
    """An amount as one tool can give it: what it shows, and what may really be in it."""

    tool: str  # scale, spoon, syringe, drops, piece, jug
    name: str  # "0.1 g scale", "1/4 tsp", "5 mL syringe"
    amount: float  # mg, L or pieces
    count: float = 1.0  # spoons, fills, drops, pieces
    low: float
    high: float
    source: str = "none"
    status: str = "common-practice"

    def off(self, wanted: float) -> float:
        """Greatest distance from what was wanted, as a share of it."""
        return max(abs(self.low - wanted), abs(self.high - wanted)) / wanted


def owned(kit: Kit) -> tuple[Kit, bool]:
    """The keeper's kit, or the common one (and True) where nothing was told."""
    if kit.scale_g is None and not kit.syringes_ml and not kit.spoons:
        return COMMON_KIT, True
    return kit, False


def on_scale(mg: float, kit: Kit) -> Reading | None:
    """The mass to the scale's step; None below ten steps, where it can't be trusted."""
    if kit.scale_g is None or mg < STEPS_TO_TRUST * kit.scale_g * 1000.0 * (1 - 1e-9):
        return None
    step = kit.scale_g * 1000.0
    amount = round(mg / step) * step
    name = f"{kit.scale_g:g} g scale"
    return Reading(
        tool="scale", name=name, amount=amount, low=amount - step, high=amount + step, status="computed"
    )


def syringe_step_ml(size_ml: float, facts: Facts) -> float:
    """The marks of a syringe of that size, from the facts; of the nearest size where it isn't listed."""
    known = {size: step for row in facts.hygiene.syringe for size, step in _marks(row.what)}
    nearest = min(known, key=lambda size: max(size / size_ml, size_ml / size))
    return known[nearest] * size_ml / nearest


def _marks(words: str) -> list[tuple[float, float]]:
    """ "2 or 2.5 mL: 0.1" is a mark of 0.1 for both sizes; of two marks the coarser counts."""
    sizes, _, marks = words.partition(":")
    step = max((float(n) for n in re.findall(r"\d+(?:\.\d+)?", marks)), default=0.0)
    return [(float(n), step) for n in re.findall(r"\d+(?:\.\d+)?", sizes)] if step else []


MOST_FILLS = 5
EXACT = 0.05  # a single fill this exact is taken without looking at other syringes


def in_syringe(ml: float, kit: Kit, facts: Facts) -> Reading | None:
    """The volume in one fill where that is exact, else in the nearest few fills; None if too small."""
    found = [r for size in sorted(kit.syringes_ml) if (r := _fills(ml, size, facts)) is not None]
    exact = (r for r in found if r.count == 1 and r.off(ml / 1000.0) <= EXACT)
    return next(exact, min(found, key=lambda r: r.off(ml / 1000.0), default=None))


def _fills(ml: float, size: float, facts: Facts) -> Reading | None:
    """So many fills of one size, each read to half a mark."""
    step = syringe_step_ml(size, facts)
    count, amount = -(-ml * (1 - 1e-9) // size), round(ml / step) * step
    if count > MOST_FILLS or ml < STEPS_TO_TRUST / 2 * step:
        return None
    half = step / 2 * count
    return Reading(
        tool="syringe",
        name=f"{size:g} mL syringe",
        amount=amount / 1000.0,
        count=count,
        low=(amount - half) / 1000.0,
        high=(amount + half) / 1000.0,
        status="memory",
    )


def in_jug(ml: float) -> Reading:
    """The volume to two digits, in a jug with marks."""
    step = 10.0 ** (len(str(int(ml))) - 2)
    amount = round(ml / step) * step
    low, high = amount * (1 - JUG_OFF) / 1000.0, amount * (1 + JUG_OFF) / 1000.0
    return Reading(tool="jug", name="jug", amount=amount / 1000.0, low=low, high=high)


def in_drops(ml: float, facts: Facts) -> Reading:
    """Whole drops, by the usual count to the mL; drops differ fourfold from bottle to bottle."""
    usual = next(r for r in facts.hygiene.drops_per_ml if r.id == "classic")
    spread = next(r for r in facts.hygiene.drops_per_ml if r.id == "ophthalmic")
    count = max(1, round(ml * usual.high))
    return Reading(
        tool="drops",
        name="drops",
        amount=count / usual.high / 1000.0,
        count=count,
        low=count / spread.high / 1000.0,
        high=count / spread.low / 1000.0,
        source=spread.source,
        status=spread.status,
    )


def in_pieces(count: float) -> Reading | None:
    """Whole or half sachets or tablets; None if it comes to none."""
    halves = round(count * 2)
    if not halves:
        return None
    off = HALF_PIECE_OFF * 0.5 if halves % 2 else 0.0
    amount = halves / 2
    return Reading(
        tool="piece", name="piece", amount=amount, count=amount, low=amount - off, high=amount + off
    )


def spoonable(one: Substance | None, mg: float) -> bool:
    """Whether a spoon is good enough: for salts and their like; never for what is dosed by the milligram."""
    if one is None or one.care in {"expert", "never"}:
        return False
    return one.kind in SPOONABLE_KINDS or mg >= DRUG_BY_SPOON_FROM_MG


def by_spoon(mg: float, kit: Kit, one: Substance | None, facts: Facts) -> Reading | None:
    """The nearest that level spoons give; the largest spoon that comes near wins."""
    found = [r for s in kit.spoons if (r := _spoons(mg, s, one, facts)) is not None]
    return min(found, key=lambda r: (round(r.off(mg), 2), r.count), default=None)


MOST_SPOONS = 12


def _spoons(mg: float, spoon: Spoon, one: Substance | None, facts: Facts) -> Reading | None:
    span = _spoon_mg(spoon, one, facts)
    if span is None:
        return None
    low, likely, high, status = span
    count = round(mg / likely)
    if not 1 <= count <= MOST_SPOONS:
        return None
    return Reading(
        tool="spoon",
        name=spoon.name,
        amount=likely * count,
        count=count,
        low=low * count,
        high=high * count,
        status=status,
    )


def _spoon_mg(spoon: Spoon, one: Substance | None, facts: Facts) -> tuple[float, float, float, str] | None:
    """What a level spoon holds: as weighed by the keeper, else from how dense the powder lies."""
    if one is not None and one.id in spoon.grams:
        mg, off = spoon.grams[one.id] * 1000.0, math.hypot(SPOON_REPEATS, spoon.off.get(one.id, 0.0))
        return mg * (1 - off), mg, mg * (1 + off), "computed"
    powder = powder_of(one, facts)
    if powder is None or spoon.volume_ml is None:
        return None
    low, high = (spoon.volume_ml * g * 1000.0 for g in (powder.bulk_low_g_ml, powder.bulk_high_g_ml))
    return low, (low + high) / 2, high, powder.status


def powder_of(one: Substance | None, facts: Facts) -> Powder | None:
    """How dense the powder of a substance lies."""
    if one is None:
        return None
    return next((p for p in facts.hygiene.powder if one.id in p.substances), None)
