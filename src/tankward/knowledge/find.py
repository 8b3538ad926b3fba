"""Plain words to ids: ids, names and synonyms, never by part of a word. What is close is only suggested."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.quantities.faults import BadInput

Kind = Literal["sign", "animal", "substance", "cause", "organism", "plant", "feed", "context", "group"]
KINDS: tuple[Kind, ...] = (
    "sign", "cause", "substance", "animal", "organism", "plant", "feed", "context", "group",
)  # fmt: skip

Names = Mapping[str, tuple[str, ...]]  # plain words -> ids


class Index:
    """The names of one kind, nearest meaning first: its own names, then wider words for several."""

    def __init__(self, levels: Iterable[Iterable[tuple[str, str]]]) -> None:
        pairs = [list(level) for level in levels]
        self.levels: tuple[Names, ...] = tuple(_gathered(level) for level in pairs)
        self.shown = {plain(name): name.replace("_", " ") for level in pairs for name, _ in level}

    def ids(self, words: str) -> tuple[str, ...]:
        """Ids these words may mean; the first level that knows them decides."""
        key = plain(words)
        for names in self.levels:
            found = names.get(key) or names.get(key.replace(" ", ""))
            if found:
                return found
        return ()

    def close(self, words: str) -> tuple[str, ...]:
        """Up to four names that look like these words or hold them: to suggest, not to use."""
        key = plain(words)
        holding = [n for n in self.shown if key and (n.startswith(key) or set(key.split()) <= set(n.split()))]
        alike = difflib.get_close_matches(key, self.shown, n=4, cutoff=0.6)
        best = dict.fromkeys([*sorted(holding, key=len)[:2], *alike, *sorted(holding, key=len)])
        return tuple(self.shown[n] for n in best)[:4]


def find(facts: Facts, kind: Kind, words: str) -> tuple[str, ...]:
    """Every id of that kind these words may mean: one, or several when the words leave it open.

    Raises BadInput, with what comes close, when they mean none.
    """
    index = index_of(facts, kind)
    found = index.ids(words)
    if not found:
        close = index.close(words)
        hint = f"did you mean {_either(close)}?" if close else "tankward facts lists what is known"
        raise BadInput(kind, words, f"is no {kind} known here; {hint}")
    return found


def find_one(facts: Facts, kind: Kind, words: str) -> str:
    """The one id these words mean; BadInput when they mean several."""
    found = find(facts, kind, words)
    if len(found) > 1:
        raise BadInput(kind, words, f"can be {_either(found)}: say which")
    return found[0]


def find_signs(facts: Facts, words: str) -> tuple[str, ...]:
    """Signs a word may stand for; several when the word leaves it open."""
    return find(facts, "sign", words)


def find_sign(facts: Facts, words: str, field: str = "") -> str:
    """The one sign; a fault names the field in which it was written."""
    try:
        return find_one(facts, "sign", words)
    except BadInput as fault:
        if not field:
            raise
        raise BadInput(field, words, fault.accepted) from None


def find_animal(facts: Facts, words: str) -> str:
    """The one animal; a number before the name is left aside ("18 cherry_barb")."""
    return find_one(facts, "animal", re.sub(r"^\s*\d+\s*x?\s+", "", words))


def find_substance(facts: Facts, words: str) -> str:
    """The one substance; CAS numbers count as names."""
    return find_one(facts, "substance", words)


def find_cause(facts: Facts, words: str) -> str:
    """The one cause."""
    return find_one(facts, "cause", words)


def anything(facts: Facts, words: str) -> tuple[tuple[Kind, str], ...]:
    """Everything of any kind these words may mean."""
    return tuple((kind, found) for kind in KINDS for found in index_of(facts, kind).ids(words))


_INDEXES: dict[tuple[str, Kind], Index] = {}


def index_of(facts: Facts, kind: Kind) -> Index:
    """The index of one kind, made once for each state of the facts."""
    key = (facts.digest, kind)
    if key not in _INDEXES:
        _INDEXES[key] = Index(_levels(facts, kind))
    return _INDEXES[key]


def _levels(facts: Facts, kind: Kind) -> Iterator[Iterable[tuple[str, str]]]:
    if kind == "sign":
        yield from _signs(facts)
    elif kind == "animal":
        yield from _animals(facts)
    elif kind == "cause":
        yield from _causes(facts)
    else:
        yield [(name, thing) for thing, names in _others(facts, kind) for name in (thing, *names)]


def _signs(facts: Facts) -> Iterator[Iterable[tuple[str, str]]]:
    yield [(sign, sign) for sign in facts.signs]
    own = [(w.plain, i) for i, s in facts.signs.items() for w in s.word]
    yield [*own, *((s.plain, i) for i, s in facts.signs.items())]
    said = [(say, i) for i, s in facts.signs.items() for w in s.word for say in w.say]
    several = [(say, i) for w in facts.tables.word for i in w.signs for say in (w.plain, *w.say)]
    yield [*said, *several]


def _animals(facts: Facts) -> Iterator[Iterable[tuple[str, str]]]:
    yield [(n, i) for i, a in facts.animals.items() for n in (i, a.common, a.scientific, *a.names)]
    groups = facts.groups
    yield [(n, i) for i, a in facts.animals.items() for n in (a.group, groups[a.group].name)]
    yield [(a.kind, i) for i, a in facts.animals.items()]


def _causes(facts: Facts) -> Iterator[Iterable[tuple[str, str]]]:
    yield [(n, i) for i, c in facts.causes.items() for n in (i, c.name, *c.names)]
    yield [
        (n, i) for i, c in facts.causes.items() for o in c.organisms for n in (o, *facts.organisms[o].common)
    ]


def _others(facts: Facts, kind: Kind) -> Iterator[tuple[str, tuple[str, ...]]]:
    if kind == "substance":
        yield from ((i, (*s.names, *s.cas, *(f.cas for f in s.form))) for i, s in facts.substances.items())
    elif kind == "organism":
        yield from ((i, (o.name, *o.common)) for i, o in facts.organisms.items())
    elif kind == "plant":
        yield from ((i, (p.common, p.scientific, *p.names)) for i, p in facts.plants.items())
    elif kind == "feed":
        yield from ((i, (f.name,)) for i, f in facts.feeds.items())
    elif kind == "group":
        yield from ((i, (g.name, *g.names)) for i, g in facts.groups.items())
    else:
        yield from ((i, ()) for i in facts.contexts)


def _gathered(pairs: Iterable[tuple[str, str]]) -> Names:
    """Plain words to ids, also as written in one word ("pinecone")."""
    names: dict[str, tuple[str, ...]] = {}
    for words, thing in pairs:
        key = plain(words)
        for form in {key, key.replace(" ", "")}:
            names[form] = tuple(dict.fromkeys((*names.get(form, ()), thing)))
    return names


def _either(names: Iterable[str]) -> str:
    *rest, last = names
    return f"{', '.join(rest)} or {last}" if rest else last
