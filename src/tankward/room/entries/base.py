"""What every entry has: an id made where it was written, an instant with its zone, who, how sure."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

import msgspec

if TYPE_CHECKING:
    from tankward.room.replay import Room


class Entry(msgspec.Struct, frozen=True, kw_only=True, tag_field="kind"):
    """One thing that happened. Immutable; a correction is another entry."""

    id: str
    at: datetime
    zone: str = "UTC"
    tank: str = ""
    who: str = ""
    sure: str = "sure"  # sure, about, guess
    note: str = ""
    version: int = 1

    def effect(self, room: Room) -> Room:
        """The room after this entry."""
        return room


class Question(msgspec.Struct, frozen=True):
    """What a form asks for one field."""

    says: str
    dimension: str = "text"
    choices: tuple[str, ...] = ()
    at_least: float | None = None
    at_most: float | None = None
    optional: bool = False


def title(kind: type[Entry]) -> str:
    """What the kind is called on screen: the first line of its docstring."""
    return (kind.__doc__ or kind.__name__).split("\n")[0].rstrip(".")


def questions(kind: type[Entry]) -> dict[str, Question]:
    """The kind's own fields with what to ask for each."""
    asks: dict[str, Any] = getattr(kind, "ASKS", {})
    return dict(asks)
