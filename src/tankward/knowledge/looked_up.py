"""Looking a thing up by the beginning of its words, over all kinds and topics, as somebody types."""

from __future__ import annotations

from tankward.knowledge.find import KINDS, Kind, index_of
from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.knowledge.records.base import Record
from tankward.knowledge.topics import TOPICS, Place, topics

Where = Kind | Place
WHOLE, BEGINS, HOLDS = 0, 1, 2
MOST = 60  # of a search; more than that is no answer


class Hit(Record, frozen=True, kw_only=True):
    """A thing found, and by which of its names."""

    kind: Where
    id: str
    by: str
    rank: int


def look_up(facts: Facts, words: str) -> tuple[Hit, ...]:
    """What begins with these words, the whole name first; every word must begin a word of the name."""
    wanted = plain(words).split()
    if not wanted:
        return ()
    best: dict[tuple[Where, str], Hit] = {}
    for kind, thing, name, shown in _names(facts):
        rank = _rank(wanted, name)
        if rank is None:
            continue
        key = (kind, thing)
        if key not in best or rank < best[key].rank:
            best[key] = Hit(kind=kind, id=thing, by=shown, rank=rank)
    return tuple(sorted(best.values(), key=lambda h: h.rank))[:MOST]


def _names(facts: Facts) -> list[tuple[Where, str, str, str]]:
    """(kind, id, the name as it is looked up, the name as it is written)."""
    found: list[tuple[Where, str, str, str]] = []
    for kind in KINDS:
        index = index_of(facts, kind)
        for names in index.levels:
            found += [
                (kind, thing, name, index.shown[name])
                for name, things in names.items()
                if name in index.shown
                for thing in things
            ]
    for place in TOPICS:
        found += [(place, t.id, plain(t.title), t.title) for t in topics(facts, place)]
    return found


def _rank(wanted: list[str], name: str) -> int | None:
    text = " ".join(wanted)
    if name == text:
        return WHOLE
    if name.startswith(text):
        return BEGINS
    parts = name.split()
    # A beginning of one letter begins everything.
    if all(any(p.startswith(w) and (len(w) > 1 or p == w) for p in parts) for w in wanted):
        return HOLDS
    return None
