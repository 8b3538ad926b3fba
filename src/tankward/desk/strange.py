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
    """Kinds of animal and plant, and signs, that the facts do not know, each once.

    They may be kept as they were written: the strictest limits hold for an animal that nobody knows.
    """
    return tuple(dict.fromkeys(name for entry in entries for name in _living(entry, facts)))


def unusable_names(entries: Iterable[Entry], facts: Facts) -> tuple[str, ...]:
    """Substances, and causes that are treated, that the facts do not know, each once.

    They can't be kept: nobody could say what such a packet or dose does to the water.
    """
    return tuple(dict.fromkeys(name for entry in entries for name in _given(entry, facts)))


def _living(entry: Entry, facts: Facts) -> Iterator[str]:
    if isinstance(entry, StockAdded):
        yield from {entry.thing.kind} - {""} - facts.animals.keys() - facts.plants.keys()
    elif isinstance(entry, Look):
        yield from sorted({*entry.seen, *entry.absent, *entry.unsure} - facts.signs.keys())


def _given(entry: Entry, facts: Facts) -> Iterator[str]:
    if isinstance(entry, CourseBegun):
        yield from {entry.cause} - {""} - facts.causes.keys()
    yield from sorted(_substances(entry) - facts.substances.keys())


def _substances(entry: Entry) -> set[str]:
    match entry:
        case SupplyAdded():
            return {a.substance for a in entry.thing.actives}
        case Done(act=Dose() | Bath() as act):
            return set(act.actives)
        case Done(act=Feed() as act):
            return set(act.actives_mg_per_g)
        case CourseBegun():
            return {entry.substance} - {""}
    return set()
