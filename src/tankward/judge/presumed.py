"""Who is taken to be there although nobody has entered them: fry of livebearers, eggs of scatterers
on moss.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock

SPERM_KEPT_D = 183  # a female bought within six months may still drop young (common-practice)
SCATTERERS = frozenset({"tetra", "rasbora", "danio", "barb", "rainbowfish", "ricefish"})  # common-practice


class Presumed(msgspec.Struct, frozen=True, kw_only=True):
    """A stage presumed in the tank, and because of whom."""

    stage: str  # fry or egg
    because: tuple[str, ...]  # stock ids
    kind: str = ""  # the animal whose young they would be


def presumed(stock: Sequence[Stock], facts: Facts, not_there: Collection[str] = ()) -> tuple[Presumed, ...]:
    """Stages that count as present until the keeper says otherwise.

    Parameters
    ----------
    stock : sequence of Stock
        Who lives in the tank.
    facts : Facts
        The facts.
    not_there : collection of str
        What the keeper has said is not there: "fry", "egg".

    Returns
    -------
    tuple of Presumed
        Fry with livebearers of both sexes or a grown female bought within six months; eggs with egg
        scatterers on moss. A stage that is entered as stock is not presumed again.
    """
    entered = {s.stage for s in stock} | set(not_there)
    found = []
    if "fry" not in entered:
        found += _fry([s for s in stock if group_of(s, facts) == "livebearer" and s.stage == "adult"])
    if "egg" not in entered and any(is_moss(s, facts) for s in stock):
        found += _eggs([s for s in stock if group_of(s, facts) in SCATTERERS and s.stage == "adult"])
    return tuple(found)


def _fry(livebearers: Sequence[Stock]) -> list[Presumed]:
    """By species: both sexes, a sex nobody knows, or a female who may have been mated before she came."""
    found = []
    for kind in dict.fromkeys(s.kind for s in livebearers):
        here = [s for s in livebearers if s.kind == kind]
        sexes = {s.sex for s in here}
        mated = [
            s for s in here if s.sex == "female" and (s.arrived_d is None or s.arrived_d <= SPERM_KEPT_D)
        ]
        if {"male", "female"} <= sexes or sexes & {"", "mixed"} or mated:
            found.append(Presumed(stage="fry", because=tuple(s.id for s in here), kind=kind))
    return found


def _eggs(scatterers: Sequence[Stock]) -> list[Presumed]:
    return [Presumed(stage="egg", because=(s.id,), kind=s.kind) for s in scatterers]


def group_of(stock: Stock, facts: Facts) -> str:
    """Group of the animal or plant; "" where it is not known."""
    if stock.kind in facts.animals:
        return facts.animals[stock.kind].group
    return facts.plants[stock.kind].group if stock.kind in facts.plants else ""


def is_moss(stock: Stock, facts: Facts) -> bool:
    if stock.kind in facts.plants:
        return facts.plants[stock.kind].form == "moss"
    return not stock.kind and "moss" in stock.name.lower()


def as_stock(presumption: Presumed, stock: Sequence[Stock]) -> Stock:
    """The presumed ones as a group of their own, so that they are judged like any other."""
    parent = next(s for s in stock if s.id == presumption.because[0])
    return msgspec.structs.replace(
        parent,
        id=f"{parent.id}-{presumption.stage}",
        stage=presumption.stage,
        number=Estimate(0.0, 0.0, float("inf")),
        length_cm=None,
        mass_g=None,
        gravid=None,
    )
