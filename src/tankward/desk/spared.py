"""Whom a plan is to spare, read as it was typed: never taken for somebody who is not there."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.room.things import Stock


def spared(typed: Sequence[str], room: Room, tank: str, facts: Facts) -> tuple[str, ...]:
    """The groups of a tank that are meant, by id. A word may mean several: "shrimp".

    Raises
    ------
    BadInput
        For a word that means nobody there: a wish that is passed over would be taken as kept.
    """
    lives = room.stock_of(tank)
    found: dict[str, None] = {}
    for word in typed:
        meant = [s.id for s in lives if _plain(word) in _names(s, facts)]
        if not meant:
            there = ", ".join(s.name or s.kind.replace("_", " ") for s in lives) or "nobody"
            raise BadInput("spare", word, f"is nobody in {room.tanks[tank].name}. There: {there}.")
        found.update(dict.fromkeys(meant))
    return tuple(found)


def _names(stock: Stock, facts: Facts) -> set[str]:
    """All it may be called: what the keeper calls it, its kind, and what it is one of."""
    known = facts.animals.get(stock.kind)
    plant = facts.plants.get(stock.kind)
    told = [stock.id, stock.name, stock.kind]
    if known is not None:
        told += [
            known.common,
            *known.names,
            known.scientific,
            known.group,
            *known.group.split("_"),
            known.kind,
        ]
    if plant is not None:
        told += [plant.common, plant.scientific, "plant"]
    return {_plain(name) for name in told if name}


def _plain(name: str) -> str:
    """Small, without the marks of an id, one or many."""
    text = " ".join(name.lower().replace("_", " ").split())
    return text[:-1] if text.endswith("s") and not text.endswith("ss") else text
