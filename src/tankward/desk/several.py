"""One entry for several tanks at once, the same as last time, and tanks that are alike."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

import msgspec

from tankward.quantities.faults import BadInput, BadInputs, gathered
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.forms import form, form_of, held, texts_of
from tankward.room.replay import Room
from tankward.room.things import Tank

from . import spelled
from .border import Border, Written
from .find import find_tank

MOST_ALIKE = 100
# What belongs to one tank alone and is not carried over to another that is alike.
OWN = ("tank", "name", "system", "place")


class Before(msgspec.Struct, frozen=True, kw_only=True):
    """What was last written down of a kind: in which tanks, and its fields as they are typed."""

    entries: tuple[Entry, ...]
    texts: dict[str, str]

    @property
    def tanks(self) -> tuple[str, ...]:
        return tuple(e.tank for e in self.entries)


def shelves(room: Room) -> dict[str, list[Tank]]:
    """The tanks by where they stand, in their order; "" where nobody said."""
    found: dict[str, list[Tank]] = {}
    for tank in sorted(room.tanks.values(), key=lambda t: t.place):
        found.setdefault(tank.shelf, []).append(tank)
    return found


def tanks_meant(room: Room, words: str, field: str = "tank") -> tuple[Tank, ...]:
    """The tanks that "T1, T2", "row B" or "all" mean, each once.

    Raises
    ------
    BadInput
        Naming the word that is no tank and no shelf.
    """
    try:
        return (find_tank(room, words, field),)
    except BadInput:
        parts = [p.strip() for p in re.split("[,;]", words) if p.strip()]
        meant = [t for part in parts for t in _meant(room, part, field, alone=len(parts) == 1)]
    if not meant:
        raise BadInput(field, words, "names no tank. Write T1,T2, a shelf, or all.")
    return tuple({t.id: t for t in meant}.values())


def _meant(room: Room, word: str, field: str, *, alone: bool) -> list[Tank]:
    if word.casefold() == "all" and room.tanks:
        return list(room.tanks.values())
    for shelf, tanks in shelves(room).items():
        if shelf and word.casefold() == shelf.casefold():
            return tanks
    try:
        return [find_tank(room, word, field)]
    except BadInput as fault:
        named = ", ".join(s for s in shelves(room) if s)
        told = f"{fault.accepted} Shelves are {named}." if named else fault.accepted
        raise BadInput(field, word, told) from None


def log_in_all(border: Border, kind: str, tanks: Iterable[str], texts: Mapping[str, str]) -> Written:
    """The same thing that happened in several tanks: all of the entries, or none.

    Raises
    ------
    BadInput
        Each fault once, whatever the number of tanks.
    """
    written: list[Written] = []
    faults: dict[str, BadInput] = {}
    for tank in tanks:
        try:
            written.append(border.log(kind, tank, texts))
        except BadInput as fault:
            told = fault.faults if isinstance(fault, BadInputs) else (fault,)
            faults.update((str(one), one) for one in told)
    gathered(list(faults.values()))
    if not written:
        raise BadInput("tanks", "", "names none. Tick at least one tank.")
    says = dict.fromkeys(line for w in written for line in w.says)
    return Written(entries=tuple(e for w in written for e in w.entries), says=tuple(says))


def last_time(room: Room, kind: str) -> Before | None:
    """What was last written down of a kind, with every tank that had it at the same moment."""
    wanted = form(spelled.WORDS.get(kind, kind)).word
    same = [e for e in room.log if not isinstance(e, Undone | Corrected) and form_of(e).word == wanted]
    if not same:
        return None
    last = same[-1]
    texts = texts_of(last)
    return Before(
        entries=tuple(e for e in same if e.at == last.at and texts_of(e) == texts and e.tank in room.tanks),
        texts=texts,
    )


def next_name(like: str, taken: Iterable[str]) -> str:
    """The next free name in a row: T4 after T1, T2, T3; "Nursery 2" after Nursery."""
    m = re.fullmatch(r"(.*?)(\d+)", like)
    start = m[1] if m else f"{like} " if like else "T"
    pattern = re.compile(rf"{re.escape(start)}(\d+)", re.IGNORECASE)
    numbers = [int(found[1]) for name in taken if (found := pattern.fullmatch(name))]
    return f"{start}{max(numbers, default=1 if like and not m else 0) + 1}"


def new_name(room: Room) -> str:
    """What a new tank is called until the keeper says otherwise: next in the row of the last one."""
    last = max(room.tanks.values(), key=lambda t: t.place, default=None)
    names = [t.name for t in room.tanks.values()]
    numbered = last is not None and re.search(r"\d$", last.name)
    return next_name(last.name if last and numbered else "", names)


def next_place(room: Room) -> int:
    """Behind the last one on the rack."""
    return max((t.place for t in room.tanks.values()), default=0) + 1


def alike(border: Border, like: str, copies: int) -> Written:
    """Tanks as one that is described already: sizes, filter, warmth; nobody lives in them yet.

    Raises
    ------
    BadInput
        If there is no such tank, or more are asked for than a room holds.
    """
    if not 1 <= copies <= MOST_ALIKE:
        raise BadInput("copies", str(copies), f"must be between 1 and {MOST_ALIKE}.")
    old = border.room.as_described(find_tank(border.room, like).id)
    kept = {k: v for k, v in held(form("tank"), ("thing", old)).items() if k not in OWN and v != ""}
    found: list[Entry] = []
    for _ in range(copies):
        name = next_name(old.name, [t.name for t in border.room.tanks.values()])
        texts = {"name": name, "place": str(next_place(border.room))}
        written = border.tank(texts, kept)
        found += written.entries
        border = after(border, written.entries)
    return Written(entries=tuple(found))


def after(border: Border, entries: Sequence[Entry]) -> Border:
    """The same border once these entries are kept."""
    room = border.room
    for entry in entries:
        room = entry.effect(room)
    return msgspec.structs.replace(border, room=room, entries=(*border.entries, *entries))
