"""One line after a write: what was kept, and what the button beside it does."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.tanks import TankAdded
from tankward.room.replay import Room

from .acts import ended, listed
from .log import entry_words
from .room import count

BEGINS = {
    "written": "Written down",
    "corrected": "Put right",
    "taken back": "Taken back",
    "put back": "Put back",
    "correction taken back": "As it was before",
    "correction put back": "Put right again",
}
MANY = {"taken back": "taken back", "put back": "put back"}


def kept_says(what: Sequence[str], entries: Sequence[Entry], room: Room, facts: Facts) -> str:
    """What was kept: one entry in its words, several as one sentence."""
    tanks = [e.thing for e in entries if isinstance(e, TankAdded)]
    if tanks and set(what) == {"written"}:
        return _tanks([t.name for t in tanks], [e for e in entries if isinstance(e, StockAdded)])
    names = list(dict.fromkeys(room.tanks[e.tank].name for e in entries if e.tank in room.tanks))
    words = {entry_words(e, room, facts) for e in entries}
    begins = BEGINS[what[0]] if len(set(what)) == 1 else "Written down"
    where = f" in {listed(names)}" if names else ""
    if len(words) == 1:
        return ended(f"{begins}{where}: {words.pop()}")
    return ended(f"{len(entries)} entries {MANY.get(what[0], 'written down')}{where}")


def _tanks(names: list[str], stock: Sequence[StockAdded]) -> str:
    if len(names) > 1:
        return f"{len(names)} tanks are in the room now: {names[0]} to {names[-1]}."
    who = listed([f"{count(s.thing.number)} {s.thing.name}" for s in stock])
    return f"{names[0]} is in the room now{f', with {who}' if who else ''}."


def undo_words(what: Sequence[str]) -> str:
    """What the button does."""
    back = set(what) <= {"taken back", "correction taken back"}
    if len(what) == 1:
        return "Put it back" if back else "Undo"
    return "Put them back" if back else "Undo all of it"
