"""Everybody whose limit is asked for: the stock, who must be presumed, and animals nobody can name."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.things import Stock

from .presumed import as_stock, group_of, is_moss, presumed

FRY_CM = 1.0  # under this length a fish counts as fry (memory)


class Inhabitant(msgspec.Struct, frozen=True, kw_only=True):
    """A group of stock as a limit sees it."""

    stock: Stock
    group: str
    kind: str  # fish, amphibian, shrimp, crayfish, snail, plant
    stage: str
    presumed: str = ""


def inhabitants(stock: Sequence[Stock], facts: Facts, not_there: Collection[str] = ()) -> list[Inhabitant]:
    """Stock, and the young that must be presumed."""
    here = [_one(s, facts) for s in stock]
    young = [(p, as_stock(p, stock)) for p in presumed(stock, facts, not_there)]
    return here + [msgspec.structs.replace(_one(s, facts), presumed=p.stage) for p, s in young]


def _one(stock: Stock, facts: Facts) -> Inhabitant:
    return Inhabitant(
        stock=stock,
        group=group_of(stock, facts),
        kind=_kind(stock, facts),
        stage=_stage(stock),
        presumed="" if stock.kind or is_moss(stock, facts) else "unknown animal",
    )


def _stage(stock: Stock) -> str:
    """Fry by name or by length; a length says more than a word."""
    tiny = stock.length_cm is not None and stock.length_cm.value < FRY_CM
    return "fry" if tiny and stock.stage in ("adult", "juvenile") else stock.stage


INVERTEBRATES = ("shrimp", "crayfish", "snail")


def _kind(stock: Stock, facts: Facts) -> str:
    """What it is, by the facts; by its name where the facts do not have it; a fish else."""
    if stock.kind in facts.animals:
        return facts.animals[stock.kind].kind
    if stock.kind in facts.plants or is_moss(stock, facts):
        return "plant"
    return next((k for k in INVERTEBRATES if k in stock.name.lower()), "fish")
