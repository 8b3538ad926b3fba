"""Where tanks stand: one moved to another shelf or another place in its row."""

from __future__ import annotations

from tankward.quantities.faults import BadInput
from tankward.room.things import Tank

from .border import Border, Written
from .find import find_tank
from .several import shelves

FIRST = "first"  # in the row, instead of a tank to stand after


def stood(border: Border, tank: str, shelf: str, after: str) -> Written:
    """A tank put on a shelf, first or after another; those behind it take the next places.

    Parameters
    ----------
    shelf
        What the shelf is called; a new word is a new shelf, nothing is the one it stands on.
    after
        The tank that it stands after, FIRST, or "" for the end of the row.

    Raises
    ------
    BadInput
        If there is no such tank, the one to stand after is on another shelf, or nothing would change.
    """
    moved = find_tank(border.room, tank)
    where = _shelf(border, shelf.strip() or moved.shelf)
    row = [t for t in shelves(border.room).get(where, []) if t.id != moved.id]
    at = _place(border, row, after, moved)
    places = _places([*row[:at], moved, *row[at:]], moved, where)
    entries = [e for t, texts in places for e in border.tank_changed(t.id, texts).entries]
    if not entries:
        raise BadInput("after", after, f"is where {moved.name} stands already.")
    return Written(entries=tuple(entries))


def _shelf(border: Border, word: str) -> str:
    """The shelf as it is called already, whatever letters are large."""
    return next((s for s in shelves(border.room) if s.casefold() == word.casefold()), word)


def _place(border: Border, row: list[Tank], after: str, moved: Tank) -> int:
    if after in ("", FIRST):
        return 0 if after else len(row)
    other = find_tank(border.room, after, "after")
    if other.id == moved.id:
        raise BadInput("after", after, "is the tank that moves. Choose another.")
    found = next((n for n, t in enumerate(row, 1) if t.id == other.id), None)
    if found is None:
        names = ", ".join(t.name for t in row) or "nobody yet"
        raise BadInput("after", other.name, f"does not stand on that shelf. There: {names}.")
    return found


def _places(row: list[Tank], moved: Tank, shelf: str) -> list[tuple[Tank, dict[str, str]]]:
    """What changes: numbers that grow along the row, as few as can be."""
    changed: list[tuple[Tank, dict[str, str]]] = []
    behind = -1
    for n, tank in enumerate(row):
        stays = tank.place if tank.id != moved.id else _between(behind, row[n + 1 :], moved)
        place = max(stays, behind + 1)
        texts = {"place": str(place)} if place != tank.place else {}
        if tank.id == moved.id and shelf != tank.shelf:
            texts["shelf"] = shelf
        if texts:
            changed.append((tank, texts))
        behind = place
    return changed


def _between(behind: int, rest: list[Tank], moved: Tank) -> int:
    """Its own number where that fits, else the next one."""
    fits = behind < moved.place and all(moved.place < t.place for t in rest)
    return moved.place if fits else behind + 1
