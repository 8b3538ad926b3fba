"""Words that stand for a photo, below it or in its place."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.room.entries.base import Entry
from tankward.room.entries.notes import Note
from tankward.room.replay import Room

from .log import entry_words

# What removing one means, before it is done.
REMOVING = (
    "The picture is deleted from this folder and from its copies, and no later export holds it. "
    "It can't be put back. The log keeps one line that says a photo was here.",
    "Copies and exports that you put elsewhere still hold it: delete those yourself.",
)
REMOVED = "The photo is removed for good, here and from the copies."


def told_words(entry: Entry, room: Room, facts: Facts) -> str:
    """What an entry says of its photos: a note's own words, else what happened."""
    return entry.text[:200] if isinstance(entry, Note) else entry_words(entry, room, facts)


def alt_words(shows: str, told: str) -> str:
    """For whoever can't see it: what the keeper wrote about it, else what its entry says."""
    return f"Photo: {shows or told or 'nothing was written about it'}"


def photo_words(shows: str, there: str) -> str:
    """The line below a photo, or in its place."""
    if there == "removed":
        return "A photo was here. It was removed for good."
    if there == "missing":
        return "The picture is missing. Your data says whether a copy has it."
    return shows


def listed_says(number: int) -> str:
    """Over a list of photos."""
    return "There is no photo yet." if not number else "One photo." if number == 1 else f"{number} photos."


def with_photos_says(number: int) -> str:
    """After what was written down with photos."""
    return "" if not number else "With a photo." if number == 1 else f"With {number} photos."


def added_says(number: int, told: str) -> str:
    """After photos were put to an entry."""
    return f"{'A photo' if number == 1 else f'{number} photos'} added to: {told}."
