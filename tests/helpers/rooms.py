"""A room as a keeper would tell it, in the program's own plain-text form."""

from tankward.room.entries.acts import Done
from tankward.room.entries.animals import StockAdded
from tankward.room.replay import Room, replay
from tankward.room.text import read_logbook


def entries_from(text: str, zone: str = "UTC"):
    """The entries of these lines. See docs/logbook_text.md."""
    return read_logbook(text, zone=zone)


def room_from(text: str, zone: str = "UTC") -> Room:
    """The room that these lines amount to; a group that no line has set up is a slip of the test."""
    entries = entries_from(text, zone)
    known = {e.thing.id for e in entries if isinstance(e, StockAdded)}
    named = {getattr(e.act if isinstance(e, Done) else e, "stock", "") for e in entries} - {""}
    assert named <= known, f"no line sets up {named - known}; there are {known}"
    return replay(entries)
