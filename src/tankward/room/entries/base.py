"""What every entry has: an id made where it was written, an instant with its zone, who, how sure."""

from __future__ import annotations

import functools
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar

import msgspec

from tankward.room.questions import Field, Question, fields_of

if TYPE_CHECKING:
    from tankward.room.replay import Room


class Entry(msgspec.Struct, frozen=True, kw_only=True, tag_field="kind"):
    """One thing that happened. Immutable; a correction is another entry.

    A kind whose fields change gets a higher default of `version`, and in UPGRADES one function for each
    older version.
    """

    # version -> what makes the next version of it; works on the decoded line, not on the record.
    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {}

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


def as_it_was(raw: dict[str, Any]) -> dict[str, Any]:
    """The upgrade of a kind that only gained fields which may be left out."""
    return raw


def tag(kind: type[Entry]) -> str:
    """The word under which a kind is kept."""
    return str(kind.__struct_config__.tag)


@functools.cache
def current_version(kind: type[Entry]) -> int:
    """The version that this program writes."""
    return next(int(f.default) for f in msgspec.structs.fields(kind) if f.name == "version")


def title(kind: type[msgspec.Struct]) -> str:
    """What the kind is called on screen: the first sentence of its docstring."""
    return (kind.__doc__ or kind.__name__).split("\n")[0].split(". ")[0].rstrip(".")


def questions(kind: type[msgspec.Struct]) -> dict[str, Question]:
    """The kind's own fields, by the key that is typed, with what to ask for each."""
    return {key: field.ask for key, field in fields_of(kind).items()}


__all__ = ["Entry", "Field", "Question", "as_it_was", "current_version", "questions", "tag", "title"]
