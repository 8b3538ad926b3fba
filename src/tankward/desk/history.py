"""How an entry stands: what it replaced, what replaced it, whether it was taken back, and the way back."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

import msgspec

from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.replay import taken_back

Pointer = Undone | Corrected
What = Literal[
    "written", "corrected", "taken back", "put back", "correction taken back", "correction put back"
]


class Event(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that happened to an entry; `entry` is what it then said, `by` is what did it."""

    what: What
    by: Entry
    entry: Entry


class Standing(msgspec.Struct, frozen=True, kw_only=True):
    """An entry with all that was done to it."""

    entry: Entry
    holds: bool
    events: tuple[Event, ...]  # oldest first, of all its versions
    replaced_by: Entry | None = None  # the version that holds in its place
    correction: Corrected | None = None  # the correction that made it, while that holds
    back: str = ""  # the entry to undo, so that this one holds again; "" where it holds


def standing_of(entries: Collection[Entry], entry: Entry) -> Standing:
    """How an entry stands.

    Parameters
    ----------
    entries : collection of Entry
        Every entry ever kept.
    entry : Entry
        One of them. An undo or a correction stands for the entry that it is about.
    """
    known = {e.id: e for e in entries}
    gone = taken_back(known)
    pointers = sorted((e for e in entries if isinstance(e, Pointer)), key=lambda e: (e.at, e.id))
    found = _about(entry, known)
    holding = [p for p in pointers if p.id not in gone]
    undone = next((p for p in holding if isinstance(p, Undone) and p.entry == found.id), None)
    away = next((p for p in holding if isinstance(p, Corrected) and p.entry == found.id), None)
    made = next((p for p in pointers if isinstance(p, Corrected) and p.by == found.id), None)
    return Standing(
        entry=found,
        holds=found.id not in gone,
        events=tuple(_events(found, known, pointers)),
        replaced_by=_last(away, holding, known) if away else None,
        correction=made if made and made.id not in gone else None,
        back=_back(undone, away, made, holding),
    )


def _about(entry: Entry, known: dict[str, Entry]) -> Entry:
    """What an undo, or the undo of an undo, is about in the end."""
    seen = set()
    while isinstance(entry, Pointer) and entry.id not in seen:
        seen.add(entry.id)
        entry = known.get(entry.by if isinstance(entry, Corrected) else entry.entry, entry)
    return entry


def _last(away: Corrected, holding: list[Pointer], known: dict[str, Entry]) -> Entry | None:
    """The newest version, along the corrections that hold."""
    by = {p.entry: p.by for p in holding if isinstance(p, Corrected)}
    at, seen = away.by, {away.entry}
    while at in by and at not in seen:
        seen.add(at)
        at = by[at]
    return known.get(at)


def _back(
    undone: Undone | None, away: Corrected | None, made: Corrected | None, holding: list[Pointer]
) -> str:
    """What must be undone for this version to hold again."""
    if undone is not None:
        return undone.id
    if away is not None:
        return away.id
    over = next((p for p in holding if made and isinstance(p, Undone) and p.entry == made.id), None)
    return over.id if over else ""


def _events(entry: Entry, known: dict[str, Entry], pointers: list[Pointer]) -> list[Event]:
    """What happened to all versions of an entry."""
    family = _family(entry, pointers)
    first = known.get(family[0], entry)
    ids = set(family)
    told = [Event(what="written", by=first, entry=first)]
    for p in pointers:
        target = p.by if isinstance(p, Corrected) else p.entry
        if not ids & {p.entry, target}:
            continue
        ids.add(p.id)
        told.append(Event(what=_what(p, known), by=p, entry=_about(p, known)))
    return told


def _family(entry: Entry, pointers: list[Pointer]) -> list[str]:
    """Every version of an entry, the first one first."""
    back = {p.by: p.entry for p in pointers if isinstance(p, Corrected)}
    first = entry.id
    while first in back and back[first] != entry.id:
        first = back[first]
    found = [first]
    for at in found:
        found += [p.by for p in pointers if isinstance(p, Corrected) and p.entry == at and p.by not in found]
    return found


def _what(pointer: Pointer, known: dict[str, Entry]) -> What:
    """An undo of an undo puts back, and so on in turn."""
    turns, at = 0, pointer
    while isinstance(at, Undone) and turns < len(known):
        turns, target = turns + 1, known.get(at.entry)
        if not isinstance(target, Pointer):
            return "taken back" if turns % 2 else "put back"
        at = target
    if not turns:
        return "corrected"
    return "correction taken back" if turns % 2 else "correction put back"
