"""Names in a logbook from elsewhere that no fact is about: a word mistyped, or facts newer than these."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankward.knowledge.known import Facts
from tankward.room.acts import Bath, Dose, Feed
from tankward.room.entries.acts import CourseBegun, Done
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.looks import Look
from tankward.room.entries.shelf import SupplyAdded


def strange_names(entries: Iterable[Entry], facts: Facts) -> tuple[str, ...]:
    """Kinds of animal and plant, substances, signs and causes that the facts do not know, each once.

    They are kept as they were written. Nothing is known of them, so nothing is called safe.
    """
    return tuple(dict.fromkeys(name for entry in entries for name in _strange(entry, facts)))


def _strange(entry: Entry, facts: Facts) -> Iterator[str]:
    living = facts.animals.keys() | facts.plants.keys()
    match entry:
        case StockAdded():
            yield from {entry.thing.kind} - {""} - living
        case SupplyAdded():
            yield from {a.substance for a in entry.thing.actives} - facts.substances.keys()
        case Done(act=Dose() | Bath() as act):
            yield from sorted(act.actives.keys() - facts.substances.keys())
        case Done(act=Feed() as act):
            yield from sorted(act.actives_mg_per_g.keys() - facts.substances.keys())
        case Look():
            yield from sorted({*entry.seen, *entry.absent, *entry.unsure} - facts.signs.keys())
        case CourseBegun():
            yield from {entry.substance} - {""} - facts.substances.keys()
            yield from {entry.cause} - {""} - facts.causes.keys()
