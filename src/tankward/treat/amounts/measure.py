"""The nearest to an amount that this keeper can measure; where nothing comes near, a batch."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Substance
from tankward.room.things import Kit

from .batch import Batch, dissolved, stock_bottle, thinned_liquid
from .published import solubility_g_l
from .tools import Reading, by_spoon, in_jug, in_pieces, in_syringe, on_scale, owned, spoonable

GOOD_ENOUGH = 0.10  # further out than this, rounding and tool together, and a batch is made [common practice]


class Measured(msgspec.Struct, frozen=True, kw_only=True):
    """An amount as it will be given. `tool` is "batch" with a batch, "none" where nothing owned can do it."""

    wanted: float
    amount: float
    unit: str  # mg, L or the piece
    tool: str
    tool_name: str = ""
    count: float = 1.0
    low: float
    high: float
    batch: Batch | None = None
    assumed_kit: bool = False
    status: str = "common-practice"

    @property
    def factor(self) -> float:
        """Given over wanted: what every active of it is multiplied by."""
        return self.amount / self.wanted


def measurable(
    amount: float,
    unit: str,
    kit: Kit,
    facts: Facts,
    substance: Substance | None = None,
    piece_mg: float = 0.0,
) -> Measured:
    """The nearest amount that this kit can give, with how far it may be out.

    Parameters
    ----------
    amount : float
        Wanted. [mg, L or pieces]
    unit : str
        "mg", "L", "drop" or the name of a piece ("sachet", "tablet").
    kit : Kit
        What the keeper owns; an empty one stands for the common kit, and is marked so.
    facts : Facts
        Marks of syringes, densities of powders, drops.
    substance : Substance or None
        For what dissolves, and whether a spoon may be used.
    piece_mg : float
        Active of one piece, for what dissolves. [mg]

    Notes
    -----
    Scale from ten of its steps on; a spoon for salts and their like; whole or half packets. What would be out
    by more than 10 % becomes a batch: packets in a cup of water, a stock bottle, a dilution in steps. Nobody
    is ever asked to weigh less than ten steps of the scale.
    """
    kit, assumed = owned(kit)
    direct = _direct(amount, unit, kit, facts, substance)
    batch = None
    if direct is None or direct.off(amount) > GOOD_ENOUGH:
        batch = _batch(amount, unit, kit, facts, substance, piece_mg)
    if batch is not None and (direct is None or batch_off(batch, amount) < direct.off(amount)):
        return _from_batch(amount, unit, batch, assumed)
    if direct is None:
        return Measured(
            wanted=amount, amount=amount, unit=unit, tool="none", low=amount, high=amount, assumed_kit=assumed
        )
    return from_reading(amount, unit, direct, assumed)


def _direct(amount: float, unit: str, kit: Kit, facts: Facts, one: Substance | None) -> Reading | None:
    if unit == "mg":
        spoon = by_spoon(amount, kit, one, facts) if spoonable(one, amount) else None
        found = [r for r in (on_scale(amount, kit), spoon) if r is not None]
        return min(found, key=lambda r: r.off(amount), default=None)
    if unit == "L":
        ml = amount * 1000.0
        return in_syringe(ml, kit, facts) or (in_jug(ml) if ml >= LEAST_IN_JUG_ML else None)
    if unit == "drop":
        return whole_drops(amount)
    return in_pieces(amount)


LEAST_IN_JUG_ML = 50.0


def whole_drops(count: float) -> Reading:
    """Drops, counted: whole ones."""
    whole = max(1.0, round(count))
    return Reading(tool="drops", name="drops", amount=whole, count=whole, low=whole, high=whole)


def _batch(
    amount: float, unit: str, kit: Kit, facts: Facts, one: Substance | None, piece_mg: float
) -> Batch | None:
    dissolves = None if one is None else solubility_g_l(one)[0]
    if unit == "mg":
        return stock_bottle(amount, kit, facts, dissolves)
    if unit == "L":
        return thinned_liquid(amount * 1000.0, kit, facts)
    return None if unit == "drop" else dissolved(amount, unit, kit, facts, piece_mg, dissolves)


def batch_off(batch: Batch, wanted: float) -> float:
    """Rounding and measuring of a batch together, as a share of what was wanted."""
    return abs(batch.give - wanted) / wanted + batch.off


def _from_batch(wanted: float, unit: str, batch: Batch, assumed: bool) -> Measured:
    return Measured(
        wanted=wanted,
        amount=batch.give,
        unit=unit,
        tool="batch",
        tool_name=batch.tool,
        low=batch.give * (1 - batch.off),
        high=batch.give * (1 + batch.off),
        batch=batch,
        assumed_kit=assumed,
    )


def from_reading(wanted: float, unit: str, reading: Reading, assumed: bool = False) -> Measured:
    """A direct reading as a Measured."""
    return Measured(
        wanted=wanted,
        amount=reading.amount,
        unit=unit,
        tool=reading.tool,
        tool_name=reading.name,
        count=reading.count,
        low=reading.low,
        high=reading.high,
        assumed_kit=assumed,
        status=reading.status,
    )
