"""A room as a keeper would tell it, in the program's own plain-text form."""

from tankward.room.replay import Room
from tankward.room.text import read_logbook, room_of_text


def room_from(text: str, zone: str = "UTC") -> Room:
    """The room that these lines amount to. See docs/logbook_text.md."""
    return room_of_text(text, zone=zone)


def entries_from(text: str, zone: str = "UTC"):
    """The entries of these lines."""
    return read_logbook(text, zone=zone)
