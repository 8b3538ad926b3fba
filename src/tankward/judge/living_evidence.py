"""What the stock list says about causes: which hosts are at risk, their stage of life, where they
came from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tankward.knowledge.known import Facts
from tankward.room.things import Stock

from .evidence import Happened

FISH = ("fish",)


def hosts(stock: Sequence[Stock], facts: Facts) -> tuple[str, ...]:
    """Host groups and finer tags of the fish; of shrimp and snails only where there are no fish."""
    known = [facts.animals[s.kind] for s in stock if s.kind in facts.animals]
    fish = [a for a in known if a.kind in FISH]
    return tuple(dict.fromkeys(tag for a in fish or known for tag in a.host_tags))


def gravid_livebearers(stock: Sequence[Stock], facts: Facts) -> bool:
    """Whether females about to give birth live there: their belly misleads."""
    return any(s.gravid and _group(s, facts) == "livebearer" for s in stock)


def sex_unknown(stock: Sequence[Stock], facts: Facts) -> bool:
    """Whether grown livebearers live there of whom it is not known whether they are females."""
    return any(s.stage == "adult" and not s.sex and _is_livebearer(s, facts) for s in stock)


def bears_young(stock: Sequence[Stock], facts: Facts) -> bool:
    """Whether livebearers live there: of their females the back is scored, not the belly."""
    return any(_is_livebearer(s, facts) for s in stock)


def of_stock(stock: Sequence[Stock], facts: Facts) -> Iterator[Happened]:
    """Dated facts and states that the stock list tells."""
    stages = tuple(_stages(stock, facts))
    if stages:
        yield Happened(context="life_stage", of=stages)
    for group in stock:
        if group.arrived_d is not None:
            kind = ("plants",) if group.kind in facts.plants else ()
            yield Happened(context="arrival", age_d=group.arrived_d, of=kind)
        if group.source:
            yield Happened(context="origin", of=(group.source.lower(),))


def _stages(stock: Sequence[Stock], facts: Facts) -> Iterator[str]:
    fish = [s for s in stock if s.kind in facts.animals and facts.animals[s.kind].kind in FISH]
    if any(s.stage == "fry" for s in fish):
        yield "fry"
        if any(s.stage == "adult" for s in fish):
            yield "fry with parents"
    females = (s.sex in ("female", "mixed") and s.stage == "adult" for s in fish if _is_livebearer(s, facts))
    if any(females):
        yield "grown livebearer female"


def _is_livebearer(stock: Stock, facts: Facts) -> bool:
    return _group(stock, facts) == "livebearer"


def _group(stock: Stock, facts: Facts) -> str:
    return facts.animals[stock.kind].group if stock.kind in facts.animals else ""
