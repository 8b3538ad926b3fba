"""Who lives in a tank, with the facts' own names beside the keeper's."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.room.things import Stock


class Lives(msgspec.Struct, frozen=True, kw_only=True):
    """A group and what the facts call it; both empty where its kind is not known."""

    stock: Stock
    common: str
    scientific: str


def lives_here(room: Room, tank: str, facts: Facts) -> list[Lives]:
    """The groups of a tank."""
    rows = []
    for stock in room.stock_of(tank):
        known = facts.animals.get(stock.kind) or facts.plants.get(stock.kind)
        rows.append(
            Lives(
                stock=stock,
                common=known.common if known else "",
                scientific=known.scientific if known else "",
            )
        )
    return rows
