"""Looking something up: entries by words and days, and the tanks, animals and packets that are called so."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import datetime

import msgspec

from tankward.knowledge.find import Kind, anything
from tankward.knowledge.known import Facts
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.replay import Room, taken_back
from tankward.room.spans import Span, span_in
from tankward.room.text import write_line
from tankward.room.things import Stock, Supply, Tank

SMALL = frozenset({"in", "on", "of", "the", "at", "and", "with", "for", "a", "what", "when", "did", "i"})


class Hit(msgspec.Struct, frozen=True, kw_only=True):
    """An entry found. `gone`: it was taken back or corrected since."""

    entry: Entry
    gone: bool


class Search(msgspec.Struct, frozen=True, kw_only=True):
    """What was looked for, as it was understood, and what was found."""

    words: str
    span: Span | None
    hits: tuple[Hit, ...]  # oldest first
    tanks: tuple[Tank, ...]
    stock: tuple[Stock, ...]
    shelf: tuple[Supply, ...]
    known: tuple[tuple[Kind, str], ...]  # what the facts know by these words

    @property
    def standing(self) -> tuple[Entry, ...]:
        return tuple(h.entry for h in self.hits if not h.gone)

    @property
    def gone(self) -> tuple[Entry, ...]:
        return tuple(h.entry for h in self.hits if h.gone)


def search(
    room: Room, entries: Collection[Entry], text: str, now: datetime, zone: str, facts: Facts
) -> Search:
    """What some words and days find.

    Parameters
    ----------
    room : Room
        Names of tanks, animals and packets.
    entries : collection of Entry
        Every entry, also those taken back.
    text : str
        Like "copper last week", "T7 yesterday", "pine cone"; nothing finds every entry.
    now : datetime
        With zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        Other names of animals, substances and signs.

    Raises
    ------
    BadInput
        For a day that could be read in two ways.
    """
    span, left = span_in(text, now, zone)
    words = _words(left)
    known = anything(facts, left) if left else ()
    wanted = _Wanted(
        words=words,
        ids=frozenset(i for _, i in known),
        meant=tuple(frozenset(i for _, i in anything(facts, w)) for w in words),
        span=span,
    )
    hits = tuple(_hits(room, entries, wanted))
    return Search(
        words=left,
        span=span,
        hits=hits,
        known=known,
        tanks=tuple(t for t in room.tanks.values() if wanted.names(t.id, t.name)),
        stock=tuple(s for s in room.stock.values() if wanted.names(s.kind, s.name)),
        shelf=tuple(s for s in room.shelf.values() if wanted.names(s.id, s.name, *_actives(s))),
    )


def _actives(supply: Supply) -> list[str]:
    return [a.substance for a in supply.actives]


class _Wanted(msgspec.Struct, frozen=True, kw_only=True):
    """The words, what they mean in the facts together and each for itself, the days."""

    words: tuple[str, ...]
    ids: frozenset[str]
    meant: tuple[frozenset[str], ...]
    span: Span | None

    def names(self, *names: str) -> bool:
        """Whether a thing is called so; a search for days alone names no thing."""
        if not self.words:
            return False
        return self._told(set(names), _plain(" ".join(names)))

    def holds(self, entry: Entry, names: str) -> bool:
        if self.span is not None and not self.span.holds(entry.at):
            return False
        ids, plain = _read(entry)
        return self._told(ids | set(re.findall(r"\w+", names)), f"{plain} {_plain(names)}")

    def _told(self, ids: Collection[str], plain: str) -> bool:
        """All the words together by their meaning, or each by itself or by its own."""
        if not self.ids.isdisjoint(ids):
            return True
        return all(
            word in plain or not own.isdisjoint(ids) for word, own in zip(self.words, self.meant, strict=True)
        )


_LINES: dict[str, tuple[Entry, frozenset[str], str]] = {}  # an entry never changes: it is read once


def _read(entry: Entry) -> tuple[frozenset[str], str]:
    """The words of an entry's line as they stand, and the line in plain letters."""
    kept = _LINES.get(entry.id)
    if kept is None or kept[0] is not entry:
        line = write_line(entry)
        kept = _LINES[entry.id] = entry, frozenset(re.findall(r"\w+", line)), _plain(line)
    return kept[1:]


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").split())


def _words(text: str) -> tuple[str, ...]:
    every = _plain(text).split()
    return tuple(w for w in every if w not in SMALL) or tuple(every)


def _hits(room: Room, entries: Collection[Entry], wanted: _Wanted) -> Iterable[Hit]:
    gone = taken_back({e.id: e for e in entries})
    for entry in sorted(entries, key=lambda e: (e.at, e.id)):
        # An undo or a correction is told with the entry that it is about.
        if not isinstance(entry, Undone | Corrected) and wanted.holds(entry, _names(room, entry)):
            yield Hit(entry=entry, gone=entry.id in gone)


def _names(room: Room, entry: Entry) -> str:
    """What the keeper calls the tank and the animals that an entry is about."""
    tank = room.tanks.get(entry.tank)
    of = getattr(entry, "act", entry)
    stock = room.stock.get(getattr(of, "stock", ""))
    supply = room.shelf.get(getattr(of, "supply", ""))
    told = [tank.name if tank else "", supply.name if supply else ""]
    return " ".join([*told, stock.name, stock.kind] if stock else told)
