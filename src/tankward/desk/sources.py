"""Sources under an answer, looked up by their keys."""

from __future__ import annotations

from collections.abc import Iterable

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.working import Answer


def titles(keys: Iterable[str], facts: Facts | None = None) -> list[tuple[str, str, str]]:
    """(key, title, how much of it was read) of each key, each once, in order; an unknown key has no title."""
    facts = facts or load()
    rows = []
    for key in dict.fromkeys(k for k in keys if k and k != "none"):
        source = facts.sources.get(key)
        title = (
            ""
            if source is None
            else ", ".join(str(p) for p in (source.authors, source.title, source.year) if p)
        )
        rows.append((key, title, "" if source is None else source.read))
    return rows


def of_answer(answer: Answer) -> list[tuple[str, str, str]]:
    """The sources that an answer's working rests on."""
    return titles(answer.source_keys())
