"""Finding what a keeper names: tank, group, packet, entry. What is not there is answered with what is."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import TypeVar

from tankward.quantities.faults import BadInput
from tankward.room.entries.base import Entry
from tankward.room.names import slug
from tankward.room.replay import Room
from tankward.room.things import Stock, Supply, Tank

Found = TypeVar("Found")


def find_tank(room: Room, word: str, field: str = "tank") -> Tank:
    """The tank of that name or id.

    Raises
    ------
    BadInput
        Listing the tanks that there are.
    """
    return _one(room.tanks, word, field, {t.id: (t.name,) for t in room.tanks.values()}, "tank")


def find_stock(room: Room, tank: str, word: str, field: str = "stock") -> Stock:
    """The group in a tank that is called so, or is of that kind.

    Raises
    ------
    BadInput
        Listing who lives there.
    """
    here = {s.id: s for s in room.stock.values() if not tank or s.tank == tank}
    names = {s.id: (s.name, s.kind, s.kind.replace("_", " ")) for s in here.values()}
    return _one(here, word, field, names, "group")


def find_supply(room: Room, word: str, field: str = "supply") -> Supply:
    """The packet of that name or id.

    Raises
    ------
    BadInput
        Listing the shelf.
    """
    return _one(
        room.shelf, word, field, {s.id: (s.name,) for s in room.shelf.values()}, "packet on the shelf"
    )


def find_entry(entries: Iterable[Entry], word: str, field: str = "entry") -> Entry:
    """The entry with that id, or the one whose id begins so.

    Raises
    ------
    BadInput
        If there is none, or several.
    """
    found = [e for e in entries if e.id == word] or [
        e for e in entries if len(word) >= 4 and word.lower() in (e.id[: len(word)], e.id[-len(word) :])
    ]
    if len(found) != 1:
        told = "could be several entries" if found else "is no entry"
        raise BadInput(field, word, f"{told}. Write its id, as find and tank show print it.")
    return found[0]


def _one(
    things: Mapping[str, Found], word: str, field: str, names: Mapping[str, Collection[str]], what: str
) -> Found:
    asked = word.strip().casefold()
    found = [i for i in things if asked == i.casefold()] or [
        i for i in things if asked in {n.casefold() for n in names[i] if n} or slug(word) == i
    ]
    if len(found) == 1:
        return things[found[0]]
    known = ", ".join(sorted((list(names[i]) or [i])[0] for i in things))
    if found:
        raise BadInput(field, word, f"could be several. Write one of {', '.join(found)}.")
    raise BadInput(
        field, word, f"is no {what} here. {f'There are {known}.' if known else 'There is none yet.'}"
    )
