"""What was just written down, said back."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.room.entries.base import Entry
from tankward.room.entries.shelf import SupplyAdded
from tankward.room.entries.tanks import TankAdded
from tankward.room.holds import water_of
from tankward.room.replay import Room

from .log import entry_words
from .room import tank_heading
from .shelf import read_back


def written_says(entry: Entry, room: Room, taken: Sequence[str], facts: Facts) -> str:
    """What was written down, and what was taken where the keeper was not exact."""
    if isinstance(entry, TankAdded):
        told = tank_heading(entry.thing, water_of(entry.thing, room))
    elif isinstance(entry, SupplyAdded):
        told = f"On the shelf: {entry.thing.name}. {read_back(entry.thing, facts)}"
    else:
        where = f" in {room.tanks[entry.tank].name}" if entry.tank in room.tanks else ""
        words = entry_words(entry, room, facts).rstrip(".")
        told = f"Written down{where}: {words[:1].lower()}{words[1:]}."
    return " ".join([told, *taken])
