"""Animals that a count missed and nobody found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from .base import Entry, Question

if TYPE_CHECKING:
    from tankward.room.replay import Room


class NotFound(Entry, frozen=True, tag="not_found"):
    """Missing and not found, alive or dead. They are counted out; whether they died is not known."""

    stock: Annotated[str, Question("Which animals?", "stock")]
    number: Annotated[int, Question("How many?", "number", at_least=1, at_most=100_000)] = 1

    def effect(self, room: Room) -> Room:
        return room.fewer(self.stock, self.number)
